"""Beat: what it remembers of earlier runs, on disk, must not keep it from the next ones."""

from datetime import timedelta
from pathlib import Path

from celery.beat import Service

from household.config.celery import app, forget_runs_to_come

NAME = "write-weekly-summaries"


def test_what_ran_by_a_clock_that_was_ahead_is_due_again(tmp_path: Path) -> None:
    kept = str(tmp_path / "beat-schedule")
    before = Service(app, schedule_filename=kept)
    entry = before.scheduler.schedule[NAME]
    entry.last_run_at = entry.default_now() + timedelta(days=900)
    before.scheduler.close()
    after = Service(app, schedule_filename=kept)
    assert after.scheduler.schedule[NAME].is_due()[1] > 899 * 24 * 60 * 60
    forget_runs_to_come(after)
    assert after.scheduler.schedule[NAME].is_due()[1] <= 30 * 60
    after.scheduler.close()


def test_what_is_overdue_stays_so(tmp_path: Path) -> None:
    service = Service(app, schedule_filename=str(tmp_path / "beat-schedule"))
    entry = service.scheduler.schedule[NAME]
    entry.last_run_at = entry.default_now() - timedelta(hours=1)
    forget_runs_to_come(service)
    assert service.scheduler.schedule[NAME].is_due()[0]
    service.scheduler.close()
