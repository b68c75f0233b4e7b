"""Rules: what people enter on their phones, and do about what was refused or lost."""

from household.sync.fold import DELETED
from tests.household.sync.campaign.kinds import REFUSED, text_of
from tests.household.sync.campaign.phone import Phone
from tests.household.sync.campaign.steps import rule
from tests.household.sync.campaign.store import Rec, StoredOp
from tests.household.sync.campaign.world import Form, World


@rule
def create(
    world: World, phone: int, name: str, entity: str, owner: str | None, value: int, bad: bool
) -> None:
    """Make a record; one that was deleted on this phone comes back."""
    at = world.phones[phone]
    known = at.read(world.rid(name))
    if (known is not None and not known.gone) or (owner and world.rid(owner) not in at.records):
        return
    op = at.create(world.now, entity, world.rid(name), world.values(entity, owner, value, bad))
    world.wrote(op, known.every if known is not None else {})


@rule
def edit(world: World, phone: int, name: str, register: str, value: int, bad: bool) -> None:
    rec = world.phones[phone].read(world.rid(name))
    if rec is not None:
        _save(world, Form(phone, rec), register, value, bad)


@rule
def open_(world: World, phone: int, name: str, form: str) -> None:
    """Open a form and leave it open."""
    rec = world.phones[phone].read(world.rid(name))
    if rec is not None:
        world.forms[form] = Form(phone, rec)


@rule
def save(world: World, form: str, register: str, value: int, bad: bool) -> None:
    if form in world.forms:
        _save(world, world.forms.pop(form), register, value, bad)


@rule
def remove(world: World, form: str) -> None:
    """Delete from an open form."""
    if form in world.forms:
        _delete(world, world.forms.pop(form))


@rule
def delete(world: World, phone: int, name: str) -> None:
    rec = world.phones[phone].read(world.rid(name))
    if rec is not None and not rec.gone:
        _delete(world, Form(phone, rec))


@rule
def undelete(world: World, phone: int, name: str) -> None:
    at = world.phones[phone]
    rec = at.read(world.rid(name))
    if rec is not None and rec.values.get(DELETED):
        op = at.restore(world.now, rec)
        world.wrote(op, {DELETED: rec.every.get(DELETED, ())})


@rule
def resolve(world: World, phone: int, name: str, register: str, which: int) -> None:
    """Choose one of the values that stand side by side."""
    at = world.phones[phone]
    rec = at.read(world.rid(name))
    if rec is None or register not in rec.also or register == DELETED:
        return
    values = [other["value"] for other in rec.also[register]]
    op = at.resolve(world.now, rec, register, values[which % len(values)])
    world.wrote(op, {register: rec.every[register]})


@rule
def move(world: World, phone: int, name: str, owner: str, what: str, mass_g: int) -> None:
    """Note a movement of a lot or bag."""
    at = world.phones[phone]
    if world.rid(owner) in at.records and world.rid(name) not in at.records:
        world.wrote(at.move(world.now, world.rid(owner), world.rid(name), what, mass_g), {})


@rule
def count(world: World, phone: int, name: str, owner: str, counted_g: int) -> None:
    """Note what is really there, knowing what is on the screen."""
    at, rid = world.phones[phone], world.rid(owner)
    if rid in at.records and world.rid(name) not in at.records:
        knew = frozenset(at.ledger_rids(rid))
        op = at.count(world.now, rid, world.rid(name), counted_g)
        world.wrote(op, {}, counted=(counted_g, knew))


# The tray


@rule
def discard(world: World, phone: int, n: int) -> None:
    op = _op(world.phones[phone], n)
    if op is not None:
        world.phones[phone].discard(op)


@rule
def resend(world: World, phone: int, n: int, value: int) -> None:
    """Correct a refused entry and send it as a new one."""
    at = world.phones[phone]
    old = _op(at, n)
    if old is None or old.state != "rejected":
        return
    entry = world.truth.of(old.rid, old.op_id)
    assert entry is not None
    rec = at.read(old.rid)
    shown = {
        name: {*(rec.shown.get(name, ()) if rec else ()), *entry.shown.get(name, ()), old.op_id}
        for name in {*old.body["set"], *entry.shown}
    }
    changes = {name: text_of(value) for name, was in old.body["set"].items() if was == REFUSED}
    op = at.resend(world.now, old, changes)
    world.wrote(op, shown, counted=entry.counted)


@rule
def put_back(world: World, phone: int, name: str) -> None:
    """Write again what a restore of the server has lost."""
    at, rid = world.phones[phone], world.rid(name)
    if rid in at.lost:
        rec = at.read(rid)
        op = at.put_back(world.now, rid)
        if op is not None:
            world.wrote(op, rec.every if rec is not None else {})


@rule
def dismiss(world: World, phone: int, name: str) -> None:
    world.phones[phone].lost.pop(world.rid(name), None)


def _save(world: World, form: Form, register: str, value: int, bad: bool) -> None:
    rec, text = form.rec, text_of(value, bad)
    if rec.values.get(register) == text:
        return
    op = world.phones[form.phone].edit(world.now, rec, register, text)
    world.wrote(op, {register: rec.shown.get(register, ())})


def _delete(world: World, form: Form) -> None:
    rec: Rec = form.rec
    world.wrote(world.phones[form.phone].remove(world.now, rec), rec.every)


def _op(phone: Phone, n: int) -> StoredOp | None:
    return next((op for op in phone.ops.values() if op.n == n), None)
