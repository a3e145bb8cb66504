"""Refusals of a dose or a strength test, with the slip that may explain them."""

from dataclasses import dataclass

from homeprogram.errors import HomeProgramError


@dataclass(frozen=True)
class Slip:
    """A likely slip of the pen: what was given and what was probably meant."""

    field: str
    given: float
    likely: float
    unit: str


class Impossible(HomeProgramError):
    """Figures that no bout and no test can have."""

    code = "impossible"
    message = "These figures cannot be right."

    def __init__(
        self,
        message: str | None = None,
        *,
        code: str | None = None,
        fields: dict[str, str] | None = None,
        slips: tuple[Slip, ...] = (),
    ) -> None:
        super().__init__(message, code=code, fields=fields)
        # Plain data: the answer's body carries them as they are.
        self.slips = [vars(slip) for slip in slips]

    def as_dict(self) -> dict:
        """The answer's body: code, message, fields and slips."""
        return {
            "code": self.code,
            "message": self.message,
            "fields": self.fields,
            "slips": self.slips,
        }


class ImpossibleDose(Impossible):
    code = "dose_impossible"
    message = "No stimulator can give this dose. Check the figures and their units."


class ImpossibleStrength(Impossible):
    code = "strength_impossible"
    message = "No knee can give this test. Check the figures and their units."
