"""A server that stops, is killed in the middle of its work, or is put back to an older state."""

import re
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import UUID

from playwright.sync_api import expect

from tests.browser.api import Api
from tests.browser.conftest import Hold, Server
from tests.browser.fault_proxy import FaultProxy
from tests.browser.kitchen import sees_weight, weigh
from tests.browser.server_log import database, entries, weighed
from tests.patience import PATIENCE_S

PUSH = "/sync/push"
# SQLite has no sleep; counting for ever stands still as well.
ENDLESS = """CREATE VIEW endless AS
    WITH RECURSIVE number(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM number)
    SELECT x FROM number"""
STANDSTILL = """CREATE TRIGGER standstill BEFORE INSERT ON sync_record
    WHEN NEW.household_id = '{home}' BEGIN SELECT max(x) FROM endless; END"""


def test_a_stopped_server_is_no_reason_to_stop(
    ines: Api, morag: str, hold: Hold, server: Server
) -> None:
    handset = hold(ines, f"/dogs/{morag}")
    server.stop()
    try:
        handset.reopen(f"/dogs/{morag}")
        assert handset.page.evaluate("navigator.onLine")
        weigh(handset, morag, "7.4")
        handset.waits_with(1)
        handset.open("/waiting")
        handset.tap("Try now")
        handset.sees(re.compile("^Nobody answered"))
    finally:
        server.start()
    handset.tap("Try now")
    handset.sees_mark("Everything synced")
    assert weighed(server, ines) == ines.masses() == [7400]


@contextmanager
def standing_still_at_the_rows(server: Server, home: Api) -> Iterator[None]:
    """Every push of the household writes its log entries, and then never comes to an end."""
    with database(server) as opened:
        opened.execute(ENDLESS)
        opened.execute(STANDSTILL.format(home=UUID(home.household).hex))
    try:
        yield
    finally:
        with database(server) as opened:
            opened.execute("DROP TRIGGER standstill")
            opened.execute("DROP VIEW endless")


def stands_still(server: Server) -> bool:
    """Whether somebody has been inside a transaction that writes for half a second."""
    deadline, since = time.monotonic() + PATIENCE_S, None
    while time.monotonic() < deadline:
        if not is_writing(server):
            since = None
        elif since is None:
            since = time.monotonic()
        elif time.monotonic() - since > 0.5:
            return True
        time.sleep(0.02)
    return False


def is_writing(server: Server) -> bool:
    opened = sqlite3.connect(server.database, timeout=0, isolation_level=None)
    try:
        opened.execute("BEGIN IMMEDIATE")
        opened.execute("ROLLBACK")
    except sqlite3.OperationalError:
        return True
    finally:
        opened.close()
    return False


def test_fault_05_a_server_killed_in_the_middle_of_a_batch_has_all_of_it_or_nothing(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
) -> None:
    handset = hold(ines, url=proxy.url)
    handset.cut_network()
    for kg in ("7.4", "7.5"):
        weigh(handset, morag, kg)
    before = entries(server, ines)
    with standing_still_at_the_rows(server, ines):
        handset.restore_network()
        assert stands_still(server)
        assert len(proxy.pushes()[-1].op_ids) == 2
        server.kill()
    try:
        assert entries(server, ines) == before, "nothing of a batch that did not end"
        handset.waits_with(2)
        sees_weight(handset, "7.5")
    finally:
        server.start()
    handset.meet_server()
    handset.sees_mark("Everything synced")
    assert weighed(server, ines) == ines.masses() == [7400, 7500]
    assert [entry.n for entry in entries(server, ines)[len(before) :]] == [1, 2]


def copy_database(server: Server, to: Path) -> None:
    with database(server) as opened:
        copy = sqlite3.connect(to)
        opened.backup(copy)
        copy.close()


def put_back(server: Server, copy: Path) -> None:
    """Restores the server from a copy, as its keeper does: stopped meanwhile."""
    server.stop()
    for ending in ("-wal", "-shm"):
        server.database.with_name(server.database.name + ending).unlink(missing_ok=True)
    server.database.write_bytes(copy.read_bytes())
    server.start()


def test_fault_32_a_server_put_back_gets_everything_again_that_a_phone_still_has(
    ines: Api, callum: Api, morag: str, hold: Hold, server: Server, tmp_path: Path
) -> None:
    handset = hold(ines)
    weigh(handset, morag, "7.1")
    handset.sees_mark("Everything synced")
    copy_database(server, tmp_path / "copy.sqlite3")
    weigh(handset, morag, "7.2")
    # By a phone that is gone afterwards: this one has seen it, and nobody else.
    callum.make("weighing", dog=morag, at="2026-01-05T08:00:00Z", mass_g=7300)
    handset.meet_server()
    handset.sees_mark("Everything synced")
    handset.cut_network()
    weigh(handset, morag, "7.4")

    put_back(server, tmp_path / "copy.sqlite3")
    assert weighed(server, ines) == [7100]
    for name in ("Tansy", "Pascoe"):  # Past where the phone stood before.
        callum.make("dog", name=name)
    handset.restore_network()
    handset.sees_mark("Needs you")
    assert sorted(weighed(server, ines)) == ines.masses() == [7100, 7200, 7400]
    sees_weight(handset.open(f"/dogs/{morag}"), "7.4")

    handset.open("/waiting")
    handset.sees("Gone after the server was put back")
    handset.sees("Nothing waiting")
    handset.tap("Put back")
    expect(handset.sheet).to_be_visible()
    handset.tap("Put back")  # In the sheet that asks again.
    handset.sheet_closes()
    handset.sees_mark("Everything synced")
    handset.misses("Gone after the server was put back")
    assert sorted(weighed(server, ines)) == ines.masses() == [7100, 7200, 7300, 7400]
    handset.open("/dogs").sees(re.compile("Pascoe"))
