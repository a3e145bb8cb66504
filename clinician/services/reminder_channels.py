"""The ways that are wired up."""

from clinician.models import Way
from clinician.services.channels import Channel
from clinician.services.email_channel import EmailChannel

CHANNELS: dict[Way, Channel] = {Way.EMAIL: EmailChannel()}
