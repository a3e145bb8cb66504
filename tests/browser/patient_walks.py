"""Every screen of the patient's app in every state it can be in, reached by taps."""

from tests.browser.patient_tour import PatientTour
from tests.browser.walk_of_a_photo import photographed
from tests.browser.walks_of_a_day import left_over, morning, one_day
from tests.browser.walks_of_reports import reports
from tests.browser.walks_of_standing import broken, ended, held, not_paired, paused, two_legs

PARTS = (
    not_paired,
    one_day,
    left_over,
    reports,
    morning,
    two_legs,
    paused,
    ended,
    held,
    photographed,
    broken,
)


def walk(tour: PatientTour) -> PatientTour:
    for part in PARTS:
        part(tour)
    return tour
