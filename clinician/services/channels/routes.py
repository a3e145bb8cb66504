"""The ways that are wired up."""

from clinician.models import Way
from clinician.services.channels.email import EMAIL
from clinician.services.channels.route import Routes

ROUTES: Routes = {Way.EMAIL: EMAIL}
