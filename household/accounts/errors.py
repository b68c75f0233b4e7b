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


class MemberGone(Refusal):
    """Too late to change or remove a member."""

    status = 404
    code = "not_found"
    message = "This person no longer belongs to the household. What they wrote stays."


class Forbidden(Refusal):
    """A member whose role does not allow this."""

    status = 403
    code = "forbidden"
    message = "Your role in this household does not allow this. Ask an owner."


class WrongCredentials(Refusal):
    """Says the same whether the address or the password is wrong, so that neither can be tried."""

    code = "wrong_credentials"
    message = (
        "No account has this e-mail address with this password. Check both; whoever looks after "
        "the server can set a new password."
    )


class EmailTaken(Refusal):
    code = "email_taken"
    message = "Somebody already signed up with this e-mail address. Sign in instead."

    def __init__(self) -> None:
        super().__init__(fields={"email": [self.message]})


class LastOwner(Refusal):
    status = 409
    code = "last_owner"
    message = (
        "This is the household's only owner. Make another member an owner first; then this owner "
        "can leave or take another role."
    )


class AlreadyMember(Refusal):
    status = 409
    code = "already_member"
    message = "You already belong to this household. The invitation stays good for somebody else."


class InvitationUnknown(Refusal):
    status = 404
    code = "not_found"
    message = "There is no such invitation. Ask for the link again, and open the whole of it."


class InvitationExpired(Refusal):
    status = 410
    code = "invitation_expired"
    message = "This invitation has run out. Ask the household for a new one."


class InvitationUsed(Refusal):
    status = 410
    code = "invitation_used"
    message = "This invitation has already been used; each is good for one person. Ask for another."


class InvitationWithdrawn(Refusal):
    status = 410
    code = "invitation_withdrawn"
    message = "This invitation was withdrawn. Ask the household for a new one."


class InvitationSettled(Refusal):
    """Too late to withdraw."""

    status = 409
    code = "invitation_used"
    message = (
        "Somebody has already joined with this invitation. To undo that, remove the member instead."
    )
