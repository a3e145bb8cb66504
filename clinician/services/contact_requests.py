"""One message by hand that asks a patient to call. It says no more than a reminder does."""

from datetime import datetime

from clinician.models import Reminder
from clinician.selectors.reminder_cases import settings_with_patients
from clinician.services.channels.route import Routes
from clinician.services.reminder_claims import contact_claim
from clinician.services.reminders import Clock, message_send, reaches_by
from homeprogram.calc.reminders import Why
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, Patient

REFUSALS = {
    Why.NO_CHANNEL: "There is no way left to write to this patient: none is set up, or the patient "
    "stopped it. Telephone instead.",
    Why.QUIET_HOURS: "It is the patient's quiet time now. Telephone if it cannot wait.",
    Why.DAY_CAP: "A message went out today; there is at most one a day. Telephone instead.",
    Why.WEEK_CAP: "Three messages went out within seven days, which is the most. "
    "Telephone instead.",
}


def contact_request_send(
    *, patient: Patient, by: Clinician, routes: Routes, site: str, clock: Clock
) -> Reminder:
    """Raises RuleBroken where a message may not go; what came of it is on the row."""
    now: datetime = clock()
    setting = settings_with_patients().filter(patient=patient).first()
    if setting is None:
        raise RuleBroken(REFUSALS[Why.NO_CHANNEL], code="contact_refused")
    claimed = contact_claim(setting=setting, now=now, reaches=reaches_by(routes), by=by)
    if isinstance(claimed, Why):
        raise RuleBroken(REFUSALS[claimed], code="contact_refused")
    message_send(reminder=claimed, routes=routes, site=site, clock=clock)
    claimed.refresh_from_db()
    return claimed
