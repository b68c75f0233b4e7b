"""Finding what is due and doing it: own time zones, late records, repeats, chunks, bounded SQL."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

from household.accounts.models import Household
from household.review import actions, tasks
from household.review.models import Progress, Summary
from household.review.queries.assembling import household_week
from household.review.queries.due import LOOK_BACK_WEEKS, due
from household.review.queries.loading import load_week, load_weeks
from household.review.queries.summary import summary_bodies
from household.sync.models import Op
from tests.household.conftest import Phone
from tests.household.review.conftest import MONDAY, NOW, W47, Diary, biscuit, days

pytestmark = pytest.mark.django_db
NOW_MS = int(NOW.timestamp() * 1000) + 1


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Callable[[datetime], None]:
    """Sets the time that the tasks see."""

    def set_to(moment: datetime) -> None:
        monkeypatch.setattr("django.utils.timezone.now", lambda: moment)

    set_to(NOW)
    return set_to


@pytest.fixture(autouse=True)
def at_once(settings: Any, monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """Runs handed-on tasks at once; lists the households of each."""
    handed_on: list[list[str]] = []

    def run(args: tuple[list[str]], **options: Any) -> None:
        assert options["expires"] <= 30 * 60  # The beat comes again by then.
        handed_on.append(args[0])
        tasks.write_summaries_for(args[0])

    monkeypatch.setattr(tasks.write_summaries_for, "apply_async", run)
    return handed_on


def fed_dog(diary: Diary, *on: date) -> str:
    dog = diary.dog()
    food = diary.write("food", biscuit())
    for day in on:
        diary.feed(dog, day, what={"food": food}, left={"g": 0}, appetite="keen")
    diary.push()
    return dog


def bodies() -> dict[str, Any]:
    """The bodies by week; for tests with one dog."""
    return {summary.week: summary.body for summary in Summary.objects.filter(gone=False)}


def weeks() -> list[str]:
    return sorted(bodies())


def reread(household: Household) -> Household:
    return Household.objects.select_related("review_progress").get(pk=household.pk)


def test_the_week_is_written_once_monday_four_has_passed(
    diary: Diary, clock: Callable[[datetime], None]
) -> None:
    fed_dog(diary, MONDAY)
    clock(datetime(2026, 11, 23, 3, 59, tzinfo=UTC))
    tasks.write_weekly_summaries()
    assert weeks() == []
    clock(datetime(2026, 11, 23, 4, 0, tzinfo=UTC))
    assert tasks.write_weekly_summaries() == 1
    assert weeks() == ["2026-W47"]


def test_every_household_goes_by_its_own_clock(
    diary: Diary, cast: Any, clock: Callable[[datetime], None]
) -> None:
    dog = fed_dog(diary, MONDAY)
    # 23:30 on Sunday in London is Monday 12:30 in Auckland, where the week is long over.
    diary.weigh(dog, date(2026, 11, 22), 20_000, clock="11:30")
    diary.push()
    clock(datetime(2026, 11, 22, 23, 30, tzinfo=UTC))
    tasks.write_weekly_summaries()
    assert weeks() == []
    Household.objects.filter(pk=cast.household.pk).update(time_zone="Pacific/Auckland")
    tasks.write_weekly_summaries()
    assert weeks() == ["2026-W47"]
    # 11:30 UTC on Sunday is already Monday there: the weighing belongs to the week after.
    assert bodies()["2026-W47"]["weight"]["points"] == []


def test_repeating_writes_nothing_and_says_so(
    diary: Diary, cast: Any, clock: Callable[[datetime], None], at_once: list[list[str]]
) -> None:
    fed_dog(diary, MONDAY)
    tasks.write_weekly_summaries()
    before = Op.objects.count()
    body = Summary.objects.get().body
    clock(NOW + timedelta(hours=3))
    assert tasks.write_weekly_summaries() == 0
    assert tasks.write_summaries_for([str(cast.household.pk)]) == 0
    # Even by hand, with another time of writing, an unchanged body is not written again.
    assert actions.write_week(cast.household, W47, now=NOW + timedelta(days=1)) == 0
    assert Op.objects.count() == before
    assert Summary.objects.get().body == body
    assert len(at_once) == 1


def test_a_lost_task_is_found_again(
    diary: Diary,
    cast: Any,
    clock: Callable[[datetime], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fed_dog(diary, MONDAY)
    with monkeypatch.context() as broker:
        broker.setattr(tasks.write_summaries_for, "apply_async", lambda **_: None)
        assert tasks.write_weekly_summaries() == 1
        assert weeks() == []
    assert tasks.write_weekly_summaries() == 1
    assert weeks() == ["2026-W47"]


def test_a_late_record_changes_its_week_and_those_that_look_back_on_it(
    diary: Diary, cast: Any, clock: Callable[[datetime], None]
) -> None:
    dog = fed_dog(diary, MONDAY, MONDAY - timedelta(days=7))
    tasks.write_weekly_summaries()
    assert weeks() == ["2026-W46", "2026-W47"]
    diary.weigh(dog, MONDAY - timedelta(days=6), 19_000)
    diary.push()
    (one,) = due([reread(cast.household)], now=NOW)
    assert [str(week) for week in one.weeks] == ["2026-W46", "2026-W47"]
    tasks.write_weekly_summaries()
    assert [body["weight"]["latest_g"] for body in bodies().values()] == [19_000, 19_000]


def test_a_meal_moved_to_another_day_changes_the_day_it_left(
    diary: Diary, cast: Any, clock: Callable[[datetime], None]
) -> None:
    dog = diary.dog()
    food = diary.write("food", biscuit())
    meal = diary.feed(dog, MONDAY - timedelta(days=3), what={"food": food}, left={"g": 0})
    diary.push()
    tasks.write_weekly_summaries()
    assert weeks() == ["2026-W46"]
    op = diary.phone.op("meal", {"day": MONDAY.isoformat()}, rid=meal, occurred_at=NOW_MS)
    assert [each["status"] for each in diary.phone.results(op)] == ["applied"]
    tasks.write_weekly_summaries()
    offered = {week: body["energy"]["offered_g"] for week, body in bodies().items()}
    assert offered == {"2026-W46": 0, "2026-W47": 100}


def test_records_of_the_running_week_make_nothing_due(
    diary: Diary, cast: Any, clock: Callable[[datetime], None], at_once: list[list[str]]
) -> None:
    fed_dog(diary, NOW.date())
    assert tasks.write_weekly_summaries() == 0
    assert at_once == []
    progress = Progress.objects.get(household=cast.household)
    assert (progress.week, progress.seq) == ("2026-W47", reread(cast.household).seq)


def test_records_older_than_one_looks_back_stay_as_they_were_said(
    diary: Diary, cast: Any, clock: Callable[[datetime], None]
) -> None:
    fed_dog(diary, MONDAY - timedelta(days=7 * 30))
    (one,) = due([reread(cast.household)], now=NOW)
    assert len(one.weeks) == LOOK_BACK_WEEKS
    assert one.weeks[-1] == W47


def test_a_household_without_records_is_left_alone(
    cast: Any, clock: Callable[[datetime], None]
) -> None:
    assert tasks.write_weekly_summaries() == 0
    assert not Summary.objects.exists()


def test_one_bad_household_does_not_keep_the_others_waiting(
    diary: Diary,
    cast: Any,
    phone_of: Callable[[Any], Phone],
    clock: Callable[[datetime], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fed_dog(diary, MONDAY)
    fed_dog(Diary(phone_of(cast.odile)), MONDAY)

    def fails_for_larch_row(week: Any, *, now: datetime) -> Any:
        if week.household == str(cast.household.pk):
            raise RuntimeError("a fault of ours")
        return summary_bodies(week, now=now)

    monkeypatch.setattr("household.review.actions.summary_bodies", fails_for_larch_row)
    tasks.write_weekly_summaries()
    assert [s.household_id for s in Summary.objects.all()] == [cast.odile.household_id]
    monkeypatch.undo()
    # It is still due, and is done once the fault is mended.
    assert [len(one.weeks) for one in due([reread(cast.household)], now=NOW)] == [1]


def test_records_that_cannot_be_read_do_not_keep_the_others_waiting(
    diary: Diary,
    cast: Any,
    phone_of: Callable[[Any], Phone],
    clock: Callable[[datetime], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fed_dog(diary, MONDAY)
    fed_dog(Diary(phone_of(cast.odile)), MONDAY)
    # They are read in the order of their ids: the others come after it.
    first, second = sorted((cast.household.pk, cast.odile.household_id))

    def fails_for_the_first(household: Household, *rest: Any) -> Any:
        if household.pk == first:
            raise RuntimeError("a fault of ours")
        return household_week(household, *rest)

    monkeypatch.setattr("household.review.actions.household_week", fails_for_the_first)
    tasks.write_weekly_summaries()
    assert [s.household_id for s in Summary.objects.all()] == [second]


def test_chunks_reach_every_household(
    cast: Any,
    phone_of: Callable[[Any], Phone],
    clock: Callable[[datetime], None],
    monkeypatch: pytest.MonkeyPatch,
    at_once: list[list[str]],
) -> None:
    monkeypatch.setattr(tasks, "HOUSEHOLDS_A_CHUNK", 2)
    monkeypatch.setattr(tasks, "HOUSEHOLDS_A_TASK", 1)
    monkeypatch.setattr(actions, "HOUSEHOLDS_A_LOAD", 1)
    for number in range(3):
        Household.objects.create(name=f"Empty {number}", time_zone="Asia/Kathmandu")
    for member in (cast.ines, cast.odile):
        fed_dog(Diary(phone_of(member)), MONDAY)
    assert tasks.write_weekly_summaries() == 2
    assert sorted(len(part) for part in at_once) == [1, 1]
    assert {s.household_id for s in Summary.objects.all()} == {
        cast.household.pk,
        cast.odile.household_id,
    }


def counted(run: Callable[[], Any]) -> int:
    with CaptureQueriesContext(connection) as queries:
        run()
    return len(queries)


def test_loading_takes_as_many_queries_for_many_dogs_and_meals_as_for_one(
    diary: Diary, cast: Any, phone_of: Callable[[Any], Phone]
) -> None:
    fed_dog(diary, MONDAY)
    few = counted(lambda: load_week(cast.household, W47))
    for _ in range(5):
        fed_dog(diary, *days(7))
    fed_dog(Diary(phone_of(cast.odile)), *days(7))
    assert counted(lambda: load_week(cast.household, W47)) == few
    both = [cast.household, cast.odile.household]
    assert counted(lambda: list(load_weeks(both, W47))) == few
    assert few <= 10


def test_looking_for_due_weeks_takes_as_many_queries_for_many_households(
    diary: Diary, cast: Any, phone_of: Callable[[Any], Phone]
) -> None:
    fed_dog(diary, MONDAY)
    few = counted(lambda: due([reread(cast.household)], now=NOW))
    fed_dog(Diary(phone_of(cast.odile)), *days(7))
    everyone = list(Household.objects.select_related("review_progress"))
    # Reading the household itself again is one of the few.
    assert counted(lambda: due(everyone, now=NOW)) == few - 1


def test_an_emptied_week_is_summed_up_as_empty(
    diary: Diary, cast: Any, clock: Callable[[datetime], None]
) -> None:
    dog = diary.dog()
    weighing = diary.weigh(dog, MONDAY, 20_000)
    diary.push()
    tasks.write_weekly_summaries()
    assert bodies()["2026-W47"]["weight"]["latest_g"] == 20_000
    row = diary.phone.row(weighing)
    seen = {name: [row["op"]] for name in row["values"]}
    gone = diary.phone.op("weighing", {"deleted": True}, rid=weighing, seen=seen)
    assert [each["status"] for each in diary.phone.results(gone)] == ["applied"]
    tasks.write_weekly_summaries()
    assert bodies()["2026-W47"]["weight"]["latest_g"] is None


def test_by_hand_a_named_week_is_written(
    diary: Diary, cast: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    fed_dog(diary, MONDAY)
    call_command("summaries", week="2026-W47", household=str(cast.household.pk))
    assert capsys.readouterr().out == "1 summaries written or changed in 1 household.\n"
    assert weeks() == ["2026-W47"]


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"week": "2026-W99"}, "such as 2026-W47"),
        ({"household": "larch"}, "not the id of a household"),
        ({"household": "00000000-0000-0000-0000-000000000000"}, "Leave --household out"),
    ],
)
def test_by_hand_a_wrong_word_is_explained(db: None, options: dict[str, str], words: str) -> None:
    with pytest.raises(CommandError, match=words):
        call_command("summaries", **options)


def test_a_meal_at_the_end_of_time_stops_nobodys_week(
    diary: Diary, ines: Phone, clock: Callable[[datetime], None]
) -> None:
    Household.objects.filter(pk=ines.member.household_id).update(time_zone="Pacific/Auckland")
    fed_dog(diary, MONDAY)
    ines.make("meal", {"day": MONDAY.isoformat(), "at": "9999-12-31T23:59:59Z"})
    tasks.write_weekly_summaries()
    assert weeks() == [str(W47)]
