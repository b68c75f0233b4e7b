"""What this app refuses, in the words a person reads."""

from collections.abc import Mapping, Sequence


class Refusal(Exception):
    """An expected "no": the API answers it with its status and {code, message, fields}."""

    status = 400
    code = "invalid"
    message = "This is not possible."

    def __init__(
        self, message: str | None = None, *, fields: Mapping[str, Sequence[str]] | None = None
    ) -> None:
        if message is not None:
            self.message = message
        self.fields = {name: list(messages) for name, messages in (fields or {}).items()}
        super().__init__(self.message)


class NotMember(Refusal):
    """Somebody who belonged to the household and no longer does."""

    status = 403
    code = "not_member"
    message = (
        "You no longer belong to this household. What you wrote on this device is kept there; "
        "ask an owner to invite you again."
    )


class Forbidden(Refusal):
    """A member whose role does not allow this."""

    status = 403
    code = "forbidden"
    message = "Your role in this household does not allow this. Ask an owner."
