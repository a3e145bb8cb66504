"""`manage.py clinic_create`: a real clinic with its first lead, who invites the others."""

from argparse import ArgumentParser

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError, transaction
from django.utils import timezone

from clinician.services.invitations import join_path
from homeprogram.errors import RuleBroken
from homeprogram.services.clinics import clinic_create, clinician_invite

LEAD = "lead"
# Option, question, an example to go by.
QUESTIONS = (
    ("name", "Name of the clinic", "Harbour Knee Clinic"),
    ("phone", "Telephone that patients call", "01632 960001"),
    ("hours", "When it is answered", "Monday to Friday, 8:00 to 17:00"),
    ("out_of_hours", "What patients do at other times", "Call 01632 960002."),
    ("emergency_number", "Emergency number", "112"),
    ("zone", "Time zone", "Europe/Lisbon"),
    ("lead_name", "Name of the first lead", "Jo Example"),
    ("lead_email", "Their e-mail address, to sign in with", "jo@clinic.example"),
)


class Command(BaseCommand):
    help = "Makes a clinic and its first lead; asks for whatever is not given."

    def add_arguments(self, parser: ArgumentParser) -> None:
        for option, question, example in QUESTIONS:
            name = f"--{option.replace('_', '-')}"
            parser.add_argument(name, help=f"{question}, like: {example}")

    def handle(self, *args: object, **options: object) -> None:
        said = {option: options[option] or _ask(question, eg) for option, question, eg in QUESTIONS}
        try:
            path = _make(said)
        except RuleBroken as refusal:
            raise CommandError(refusal.message) from refusal
        except ValidationError as refusal:
            raise CommandError(_sentences(refusal)) from refusal
        except DatabaseError as error:
            raise CommandError("The database is not ready. Run `manage.py migrate`.") from error
        self.stdout.write(f"The clinic {said['name']} is there.")
        self.stdout.write(f"{said['lead_name']} sets a password at this path of your server:")
        self.stdout.write(path)
        self.stdout.write("The link works once. Hand it over in person or by a safe way.")


def _ask(question: str, example: str) -> str:
    try:
        return input(f"{question} (like: {example}): ").strip()
    except EOFError:
        raise CommandError(f"{question}: not given, and nobody to ask.") from None


@transaction.atomic
def _make(said: dict) -> str:
    """Clinic and lead together or neither; returns the path of the link."""
    now = timezone.now()
    clinic = clinic_create(
        name=said["name"],
        phone_number=said["phone"],
        hours=said["hours"],
        out_of_hours=said["out_of_hours"],
        emergency_number=said["emergency_number"],
        zone=said["zone"],
        now=now,
    )
    lead = clinician_invite(
        clinic=clinic, email=said["lead_email"], name=said["lead_name"], role=LEAD, now=now
    )
    return join_path(lead)


def _sentences(refusal: ValidationError) -> str:
    named = refusal.message_dict.items()
    return " ".join(f"{field}: {' '.join(messages)}" for field, messages in named)
