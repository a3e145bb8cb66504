"""The ways that are wired up. What this server cannot send is none."""

from django.conf import settings

from clinician.models import Way
from clinician.services.channels.email import EMAIL
from clinician.services.channels.push import PUSH
from clinician.services.channels.route import Routes
from clinician.services.channels.text import TEXT
from homeprogram.services.push_keys import can_push

ROUTES: Routes = {
    way: route
    for way, route, open_ in (
        (Way.PUSH, PUSH, can_push()),
        (Way.EMAIL, EMAIL, True),
        (Way.TEXT, TEXT, bool(settings.TEXT_URL)),
    )
    if open_
}
