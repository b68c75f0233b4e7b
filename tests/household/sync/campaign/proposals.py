"""What may come next: plain arguments for each rule, chosen from what the world holds.

``pick`` chooses one of several; the random walker and Hypothesis bring their own.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

from household.sync.fold import DELETED, Row
from tests.household.sync.campaign.kinds import LEDGERS, MOST_G, SLOTS, TEMPLATES
from tests.household.sync.campaign.rules import Step
from tests.household.sync.campaign.world import PHONES, World

T = TypeVar("T")
Pick = Callable[[Sequence[Any]], Any]
HOUR_MS = 3_600_000
CLOCKS_MS = (0, -72 * HOUR_MS, 3 * HOUR_MS, 3 * 8766 * HOUR_MS)
"""Right, three days behind, three hours and three years ahead; jumping back is going from one to
another."""
FATES = ("ok", "ok", "ok", "request lost", "request late", "reply lost", "reply late", "sent twice")
PUSH_FATES = (*FATES, "fault")
PAGES = (1, 2, 9)
ROLES = ("owner", "partner", "sitter", "sitter")
VALUES = (1, 2, 3, 4)
BAD = (False, False, False, True)
MASSES_G = (100, 300, 300, 2 * MOST_G)
MOVES = ("stored", "stored", "used", "discarded", "thawed")
Arguments = dict[str, Any]


class Proposer:
    """Proposes steps in a world. The names it gives out are numbered, so they are never reused."""

    def __init__(self, world: World, pick: Pick) -> None:
        self.world, self.pick = world, pick
        self.names: dict[str, str] = {}  # Of every record in the trace: its kind.
        self._tags = 0

    def step(self, rule: str) -> Step | None:
        arguments: Arguments | None = getattr(self, f"_{rule}")()
        return None if arguments is None else (rule, arguments)

    def _tag(self, word: str) -> str:
        self._tags += 1
        return f"{word} {self._tags}"

    def _phone(self) -> int:
        return int(self.pick(range(PHONES)))

    def _rows(self, phone: int) -> Mapping[str, Row]:
        """The records on a phone by their names."""
        rows = self.world.phones[phone].records
        by_rid = {self.world.rid(name): name for name in self.names}
        return {by_rid[rid]: row for rid, row in sorted(rows.items()) if rid in by_rid}

    def _some(self, phone: int, *entities: str, gone: bool = False) -> str | None:
        rows = self._rows(phone)
        names = [
            name
            for name, row in rows.items()
            if (gone or not row["gone"]) and (not entities or row["entity"] in entities)
        ]
        return str(self.pick(names)) if names else None

    def _create(self) -> Arguments | None:
        phone, entity = self._phone(), str(self.pick(list(TEMPLATES)))
        template = TEMPLATES[entity]
        owner = self._some(phone, *template.owner_kinds) if template.owner else None
        if template.owner and owner is None:
            return None
        name = str(self.pick(SLOTS)) if entity == "meal" else self._tag(entity)
        self.names[name] = entity
        given = {"value": self.pick(VALUES), "bad": self.pick(BAD)}
        return {"phone": phone, "name": name, "entity": entity, "owner": owner, **given}

    def _target(self) -> tuple[int, str] | None:
        phone = self._phone()
        name = self._some(phone, *TEMPLATES, gone=True)
        return None if name is None else (phone, name)

    def _edit(self) -> Arguments | None:
        target = self._target()
        if target is None:
            return None
        register = self.pick(TEMPLATES[self.names[target[1]]].texts)
        given = {"value": self.pick(VALUES), "bad": self.pick(BAD)}
        return {"phone": target[0], "name": target[1], "register": register, **given}

    def _open(self) -> Arguments | None:
        target = self._target()
        if target is None:
            return None
        return {"phone": target[0], "name": target[1], "form": self._tag("form")}

    def _save(self) -> Arguments | None:
        if not self.world.forms:
            return None
        form = self.pick(list(self.world.forms))
        register = self.pick(TEMPLATES[self.world.forms[form].rec.entity].texts)
        given = {"value": self.pick(VALUES), "bad": self.pick(BAD)}
        return {"form": form, "register": register, **given}

    def _remove(self) -> Arguments | None:
        return {"form": self.pick(list(self.world.forms))} if self.world.forms else None

    def _delete(self) -> Arguments | None:
        phone = self._phone()
        name = self._some(phone)
        return None if name is None else {"phone": phone, "name": name}

    def _undelete(self) -> Arguments | None:
        phone = self._phone()
        names = [n for n, row in self._rows(phone).items() if row["values"].get(DELETED)]
        return {"phone": phone, "name": self.pick(names)} if names else None

    def _resolve(self) -> Arguments | None:
        phone = self._phone()
        clashes = [
            (name, register)
            for name, row in self._rows(phone).items()
            for register in row["also"]
            if register != DELETED
        ]
        if not clashes:
            return None
        name, register = self.pick(clashes)
        return {"phone": phone, "name": name, "register": register, "which": self.pick((0, 1))}

    def _move(self) -> Arguments | None:
        phone = self._phone()
        owner = self._some(phone, *LEDGERS)
        if owner is None:
            return None
        name = self._tag("movement")
        self.names[name] = "movement"
        given = {"what": self.pick(MOVES), "mass_g": self.pick(MASSES_G)}
        return {"phone": phone, "name": name, "owner": owner, **given}

    def _count(self) -> Arguments | None:
        phone = self._phone()
        owner = self._some(phone, "lot")
        if owner is None:
            return None
        name = self._tag("count")
        self.names[name] = "count"
        return {"phone": phone, "name": name, "owner": owner, "counted_g": self.pick((500, 700))}

    def _clock(self) -> Arguments:
        return {"phone": self._phone(), "offset_ms": self.pick(CLOCKS_MS)}

    def _crash(self) -> Arguments:
        return {"phone": self._phone()}

    def _wipe(self) -> Arguments:
        return {"phone": self._phone()}

    def _reuse(self) -> Arguments | None:
        phone, other = self._phone(), self._phone()
        if phone == other or not self.world.phones[other].n:
            return None
        name = self._tag("dog")
        self.names[name] = "dog"
        numbers = range(1, self.world.phones[other].n + 1)
        return {"phone": phone, "name": name, "of": other, "n": self.pick(numbers)}

    def _in_tray(self, *states: str) -> Arguments | None:
        phone = self._phone()
        found = [op.n for op in self.world.phones[phone].ops.values() if op.state in states]
        return {"phone": phone, "n": self.pick(found)} if found else None

    def _discard(self) -> Arguments | None:
        return self._in_tray("rejected", "wait")

    def _resend(self) -> Arguments | None:
        arguments = self._in_tray("rejected")
        return arguments and {**arguments, "value": self.pick(VALUES)}

    def _put_back(self) -> Arguments | None:
        phone = self._phone()
        lost = self.world.phones[phone].lost
        names = [name for name in self.names if self.world.rid(name) in lost]
        return {"phone": phone, "name": self.pick(names)} if names else None

    def _dismiss(self) -> Arguments | None:
        return self._put_back()

    def _push(self) -> Arguments:
        return {"phone": self._phone(), "fate": self.pick(PUSH_FATES), "tag": self._tag("push")}

    def _pull(self) -> Arguments:
        given = {"limit": self.pick(PAGES), "fate": self.pick(FATES), "tag": self._tag("pull")}
        return {"phone": self._phone(), **given}

    def _sync(self) -> Arguments:
        return {"phone": self._phone(), "limit": self.pick(PAGES)}

    def _arrive(self) -> Arguments | None:
        late = list(self.world.late_requests)
        return {"tag": self.pick(late), "keep": self.pick((False, True))} if late else None

    def _reply(self) -> Arguments | None:
        late = list(self.world.late_replies)
        return {"tag": self.pick(late)} if late else None

    def _backup(self) -> Arguments:
        return {"tag": self._tag("backup")}

    def _restore(self) -> Arguments | None:
        """Any backup, at any time: an older one, and then a newer one too."""
        tags = list(self.world.backups)
        return {"tag": self.pick(tags)} if tags else None

    def _server_write(self) -> Arguments:
        known = [name for name, entity in self.names.items() if entity in TEMPLATES]
        name = str(self.pick([*known, self._tag("dog")]))
        entity = self.names.setdefault(name, "dog")
        register = self.pick(TEMPLATES[entity].texts)
        return {"name": name, "entity": entity, "register": register, "value": self.pick(VALUES)}

    def _server_delete(self) -> Arguments | None:
        return {"name": self.pick(list(self.names))} if self.names else None

    def _role(self) -> Arguments:
        return {"phone": self._phone(), "role": self.pick(ROLES)}

    def _remove_member(self) -> Arguments:
        return {"phone": self._phone()}

    def _invite(self) -> Arguments:
        return {"phone": self._phone(), "role": self.pick(ROLES)}

    def _deploy(self) -> Arguments:
        return {"schema": self.pick((1, 2))}

    def _update_app(self) -> Arguments:
        return {"phone": self._phone()}
