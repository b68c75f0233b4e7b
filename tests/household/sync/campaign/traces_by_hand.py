"""Traces that were thought out: for bugs that walking seldom meets, or meets in other ways."""

from tests.household.sync.campaign.rules import Step

A_DOG: Step = (
    "create",
    {"phone": 0, "name": "dog", "entity": "dog", "owner": None, "value": 1, "bad": False},
)
A_LOT: Step = (
    "create",
    {"phone": 0, "name": "lot", "entity": "lot", "owner": None, "value": 1, "bad": False},
)


def sync(phone: int) -> Step:
    return ("sync", {"phone": phone, "limit": 9})


def rename(phone: int, value: int) -> Step:
    return (
        "edit",
        {"phone": phone, "name": "dog", "register": "name", "value": value, "bad": False},
    )


def move(name: str, what: str, mass_g: int) -> Step:
    return ("move", {"phone": 0, "name": name, "owner": "lot", "what": what, "mass_g": mass_g})


def server_dog(name: str) -> Step:
    return ("server_write", {"name": name, "entity": "dog", "register": "name", "value": 4})


BY_HAND: dict[str, list[Step]] = {
    # Two values, one of them chosen; the choice comes back before what it chose from.
    "M4": [
        A_DOG,
        sync(0),
        sync(1),
        ("backup", {"tag": "before"}),
        rename(0, 2),
        rename(1, 3),
        sync(0),
        sync(1),
        sync(0),
        ("resolve", {"phone": 0, "name": "dog", "register": "name", "which": 0}),
        sync(0),
        ("restore", {"tag": "before"}),
        sync(0),
        sync(1),
    ],
    # Five edits with a slow clock and no network, against one of somebody else.
    "M5": [
        A_DOG,
        sync(0),
        sync(1),
        ("clock", {"phone": 0, "offset_ms": -3 * 86_400_000}),
        *(rename(0, value) for value in (2, 3, 4, 2, 3)),
        rename(1, 4),
        sync(1),
        sync(0),
    ],
    # 100 g in store; a movement that will be refused is on the screen when 700 g are counted.
    "L2": [
        A_LOT,
        move("stored", "stored", 100),
        sync(0),
        move("refused", "stored", 1_000_001),
        ("count", {"phone": 0, "name": "count", "owner": "lot", "counted_g": 700}),
    ],
    # A lot is deleted and forgotten while somebody who was away long notes a movement of it.
    "P5": [
        A_LOT,
        sync(0),
        sync(1),
        (
            "move",
            {"phone": 1, "name": "late", "owner": "lot", "what": "used", "mass_g": 100},
        ),
        ("delete", {"phone": 0, "name": "lot"}),
        sync(0),
        A_DOG,
        sync(0),
    ],
    # Refused after an older backup and a demotion, in force again with the newer backup.
    "R8": [
        ("backup", {"tag": "older"}),
        A_LOT,
        sync(0),
        ("backup", {"tag": "newer"}),
        ("restore", {"tag": "older"}),
        ("role", {"phone": 0, "role": "sitter"}),
        sync(0),
        ("restore", {"tag": "newer"}),
        sync(0),
    ],
    # The same, discarded by the person in between.
    "R9": [
        ("backup", {"tag": "older"}),
        A_LOT,
        sync(0),
        ("backup", {"tag": "newer"}),
        ("restore", {"tag": "older"}),
        ("role", {"phone": 0, "role": "sitter"}),
        sync(0),
        ("discard", {"phone": 0, "n": 1}),
        ("restore", {"tag": "newer"}),
        sync(0),
    ],
    # Two entries under one op id: the second one is refused, and stays in its tray.
    "R10": [
        A_DOG,
        sync(0),
        ("reuse", {"phone": 1, "name": "other dog", "of": 0, "n": 1}),
        sync(1),
        sync(1),
    ],
    # The op that was the newest comes to its old number again, after others than before.
    "R2": [
        ("backup", {"tag": "before"}),
        server_dog("lost"),
        A_DOG,
        sync(0),
        sync(1),
        ("restore", {"tag": "before"}),
        server_dog("other"),
        sync(0),
    ],
    # A push burns a number, a phone pulls up to it, and after a restore it is given out again.
    "R3": [
        A_DOG,
        ("push", {"phone": 0, "fate": "reply lost", "tag": "first"}),
        ("backup", {"tag": "before"}),
        sync(0),
        ("restore", {"tag": "before"}),
        server_dog("other"),
    ],
    # After a restore the server fails while own entries are sent again, and the pull goes through.
    "T3": [
        A_DOG,
        sync(0),
        ("backup", {"tag": "before"}),
        rename(0, 2),
        sync(0),
        ("restore", {"tag": "before"}),
        ("pull", {"phone": 0, "limit": 9, "fate": "ok", "tag": "gone"}),
        ("push", {"phone": 0, "fate": "fault", "tag": "again"}),
        ("pull", {"phone": 0, "limit": 9, "fate": "ok", "tag": "whole"}),
    ],
    # A child of a deleted dog is refused; an edit of the child is left, without an owner.
    "T4": [
        A_DOG,
        ("delete", {"phone": 0, "name": "dog"}),
        sync(0),
        sync(1),
        (
            "create",
            {
                "phone": 1,
                "name": "weighing",
                "entity": "weighing",
                "owner": "dog",
                "value": 1,
                "bad": True,
            },
        ),
        (
            "edit",
            {"phone": 1, "name": "weighing", "register": "note", "value": 2, "bad": False},
        ),
    ],
    # Three edits that each saw the one before; after a restore the last is sent before the second.
    "M3": [
        A_DOG,
        sync(0),
        sync(1),
        rename(0, 2),
        sync(0),
        ("backup", {"tag": "before"}),
        sync(1),
        rename(1, 3),
        sync(1),
        sync(0),
        rename(0, 4),
        sync(0),
        ("restore", {"tag": "before"}),
        sync(0),
        sync(1),
    ],
    # Two people find 700 g where 1000 g should be.
    "L1": [
        A_LOT,
        move("stored", "stored", 1000),
        sync(0),
        sync(1),
        ("count", {"phone": 0, "name": "one", "owner": "lot", "counted_g": 700}),
        ("count", {"phone": 1, "name": "two", "owner": "lot", "counted_g": 700}),
    ],
    # Deleting the last movement changes the deleted lot too; a page holds one row.
    "P2": [
        A_LOT,
        move("stored", "stored", 300),
        sync(0),
        ("delete", {"phone": 0, "name": "lot"}),
        sync(0),
        sync(1),
        ("delete", {"phone": 0, "name": "stored"}),
        sync(0),
        ("sync", {"phone": 1, "limit": 1}),
    ],
    # The server is upgraded between a push whose reply is lost and the next.
    "P3": [
        A_DOG,
        ("push", {"phone": 0, "fate": "reply lost", "tag": "first"}),
        ("deploy", {"schema": 2}),
        sync(0),
    ],
    # Somebody who saw the lots becomes a sitter.
    "P4": [A_LOT, sync(0), sync(1), ("role", {"phone": 1, "role": "sitter"}), sync(1)],
    # Two tabs ask, one before and one after a restore; both replies come late.
    "R6": [
        ("backup", {"tag": "before"}),
        server_dog("lost"),
        ("pull", {"phone": 1, "limit": 9, "fate": "reply late", "tag": "one"}),
        ("restore", {"tag": "before"}),
        server_dog("other"),
        ("pull", {"phone": 1, "limit": 9, "fate": "reply late", "tag": "two"}),
        ("reply", {"tag": "one"}),
        ("reply", {"tag": "two"}),
    ],
    # An own old value, long superseded, is queued again after a restore.
    "R7": [
        A_DOG,
        sync(0),
        sync(1),
        ("backup", {"tag": "before"}),
        rename(0, 2),
        sync(0),
        sync(1),
        rename(1, 3),
        sync(1),
        sync(0),
        ("restore", {"tag": "before"}),
        ("pull", {"phone": 0, "limit": 9, "fate": "ok", "tag": "gone"}),
    ],
}
