"""What sync refuses as a whole; a single operation is refused in its result instead."""

from household.accounts.errors import Refusal


class MarkGone(Refusal):
    """The log no longer holds the entry the device knew, or the member's role has changed."""

    status = 410
    code = "mark_gone"
    message = (
        "The server's log no longer holds what this device last saw of it: it was restored from a "
        "backup, or your role changed. Send your own entries again and fetch everything anew."
    )


class TooLarge(Refusal):
    status = 413
    code = "too_large"


class SchemaTooNew(Refusal):
    status = 426
    code = "schema_too_new"


class ProtocolUnknown(Refusal):
    code = "protocol_unknown"


class Malformed(Refusal):
    """The request as a whole cannot be read; nothing in it was looked at."""
