"""Named refusals. Each carries a stable code and a sentence a person can act on."""


class HomeProgramError(Exception):
    """A rule of the clinic's record said no.

    `code` is stable and documented, `message` says what to do, `fields` names
    the inputs it is about: {field: sentence}.
    """

    code = "refused"
    message = "This cannot be done."

    def __init__(
        self,
        message: str | None = None,
        *,
        code: str | None = None,
        fields: dict[str, str] | None = None,
    ) -> None:
        self.message = message or self.message
        self.code = code or self.code
        self.fields = fields or {}
        super().__init__(self.message)


class InvalidEntry(HomeProgramError):
    """An entry the clinic keeps but cannot read as a fact (held)."""

    code = "entry_invalid"
    message = "The clinic could not read this entry. It is kept and a person will look."


class RuleBroken(HomeProgramError):
    """A write that would contradict the record (wrong state, wrong date)."""

    code = "rule_broken"


class PairingRefused(HomeProgramError):
    """The code does not pair a phone."""

    code = "pairing_code_invalid"
    message = "This code does not work. Ask the clinic for a new one."


class TooManyTries(HomeProgramError):
    """Rate limit; `retry_after_s` says how long to wait."""

    code = "too_many_tries"
    message = "Too many tries. Wait a few minutes, then try again."

    def __init__(self, *, retry_after_s: int) -> None:
        super().__init__()
        self.retry_after_s = retry_after_s


class PushRefused(HomeProgramError):
    """The whole push was not understood; nothing of it was stored."""

    code = "push_malformed"
    message = "The clinic could not read this message. Nothing was lost; update the app."


class PushTooLarge(PushRefused):
    code = "too_large"
    message = "Too much at once. Send fewer entries."


class ProtocolTooOld(PushRefused):
    code = "protocol_too_old"
    message = "This app is too old to send. Update it; your entries stay on this phone."


class PhoneRevoked(HomeProgramError):
    """The clinic ended this phone's access; `revoked` says how: replaced or stolen."""

    code = "phone_revoked"

    def __init__(self, *, revoked: str) -> None:
        super().__init__(
            "Another phone took this one's place."
            if revoked == "replaced"
            else "The clinic ended this phone's access. Call the clinic."
        )
        self.revoked = revoked


class PhotosOff(HomeProgramError):
    code = "photos_off"
    message = "The clinic takes no photos from this phone."


class PhotoRefused(HomeProgramError):
    """It cannot lie where it should: its check is not here, or has enough photos."""

    code = "photo_refused"


class PhotoTooLarge(HomeProgramError):
    code = "photo_too_large"
    message = "This picture is too large. Take it again with the app."
