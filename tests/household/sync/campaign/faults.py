"""Rules: what happens to phones, to the network and to the server."""

from uuid import UUID

from household.sync import registry
from household.sync.actions import Write, write_ops
from household.sync.fold import DELETED, seen_of
from household.sync.models import Op
from household.sync.queries import record
from tests.household.sync.campaign.kinds import TEMPLATES, text_of
from tests.household.sync.campaign.server import HOUSEHOLD
from tests.household.sync.campaign.steps import rule
from tests.household.sync.campaign.world import Fate, World

# The phones


@rule
def clock(world: World, phone: int, offset_ms: int) -> None:
    world.phones[phone].clock_offset_ms = offset_ms


@rule
def crash(world: World, phone: int) -> None:
    """The app is killed: forms and replies are gone, the store stays."""
    at = world.phones[phone]
    at.close()
    world.forms = {tag: form for tag, form in world.forms.items() if form.phone != phone}
    world.late_replies = {
        tag: late for tag, late in world.late_replies.items() if late[0].phone != phone
    }


@rule
def wipe(world: World, phone: int) -> None:
    """The browser drops the store: a new device."""
    crash(world, phone)
    offset_ms = world.phones[phone].clock_offset_ms
    world.phones[phone] = world.new_phone(phone)
    world.phones[phone].clock_offset_ms = offset_ms


@rule
def reuse(world: World, phone: int, name: str, of: int, n: int) -> None:
    """Two phones come to the same op id, for different entries."""
    at, other = world.phones[phone], world.phones[of]
    taken = next((op.op_id for op in other.ops.values() if op.n == n), None)
    if taken is None or taken in at.ops or world.rid(name) in at.records or phone == of:
        return
    values = world.values("dog", None, 0, False)
    world.wrote(at.create(world.now, "dog", world.rid(name), values, op_id=taken), {})


# The network


@rule
def push(world: World, phone: int, fate: Fate, tag: str) -> None:
    request = world.phones[phone].push_request()
    if request is not None:
        world.exchange(request, fate, tag)


@rule
def pull(world: World, phone: int, limit: int, fate: Fate, tag: str) -> None:
    world.exchange(world.phones[phone].pull_request(limit), fate, tag)


@rule
def sync(world: World, phone: int, limit: int) -> None:
    world.sync(world.phones[phone], limit)


@rule
def arrive(world: World, tag: str, keep: bool) -> None:
    """A request that was thought lost reaches the server after all; its reply may be kept."""
    if tag in world.late_requests:
        request = world.late_requests.pop(tag)
        answer = world.deliver(request)
        if keep:
            world.late_replies[tag] = (request, answer)


@rule
def reply(world: World, tag: str) -> None:
    """A late reply reaches the phone."""
    if tag in world.late_replies:
        world.take(*world.late_replies.pop(tag))


# The server


@rule
def backup(world: World, tag: str) -> None:
    world.backups[tag] = world.server.backup()


@rule
def restore(world: World, tag: str) -> None:
    if tag in world.backups:
        world.server.restore(world.backups[tag])
        world.restores += 1
        world.note_roles()


@rule
def server_write(world: World, name: str, entity: str, register: str, value: int) -> None:
    """The server writes in its own name: a new record, or a value of one."""
    rid = UUID(world.rid(name))
    known = record(HOUSEHOLD, rid)
    values = {register: text_of(value)} if known else world.values(entity, None, value, False)
    if known is None and TEMPLATES[entity].owner:
        return
    _server_writes(world, Write(entity, rid, values))


@rule
def server_delete(world: World, name: str) -> None:
    known = record(HOUSEHOLD, UUID(world.rid(name)))
    if known is not None and not known.gone:
        _server_writes(world, Write(known.entity, known.rid, {DELETED: True}))


@rule
def role(world: World, phone: int, role: str) -> None:
    world.server.set_role(phone, role)
    world.note_roles()


@rule
def remove_member(world: World, phone: int) -> None:
    world.server.remove(phone)


@rule
def invite(world: World, phone: int, role: str) -> None:
    if world.server.member(phone).is_removed:
        world.server.invite_again(phone, role)
        world.note_roles()


@rule
def deploy(world: World, schema: int) -> None:
    """Another version of the server: newer, or rolled back."""
    registry.SCHEMA = schema


@rule
def update_app(world: World, phone: int) -> None:
    """The app comes from the server, so it is at most as new; it is never rolled back."""
    crash(world, phone)
    world.phones[phone].updated(registry.SCHEMA)


def _server_writes(world: World, write: Write) -> None:
    known = record(HOUSEHOLD, write.rid)
    before = seen_of(known.row) if known is not None else {}
    newest = Op.objects.filter(household_id=HOUSEHOLD).order_by("-seq").first()
    write_ops(HOUSEHOLD, [write], now=world.now)
    world.server_wrote(before, newest.seq if newest else 0)
