"""Every route of the house with the policy it must keep. A route without one fails."""

from collections.abc import Iterator

from django.urls import URLPattern, URLResolver, get_resolver

PUBLIC, PHONE, DESK, LEAD, API, OWN = "public", "phone", "desk", "lead", "api", "own"

# public: anybody. phone: the paired phone's credential. desk: an active
# clinician; ids of another clinic answer like absent ones. lead: the clinic's
# lead. api: a signed-in clinician, JSON. own: a signed-in user's own account.
POLICY = {
    "home": PUBLIC,
    "healthz": PUBLIC,
    "readyz": PUBLIC,
    "patient-shell": PUBLIC,
    "patient-worker": PUBLIC,
    "rescue": PUBLIC,
    "manifest": PUBLIC,
    "serviceworker": PUBLIC,
    "offline": PUBLIC,
    "pairing": PUBLIC,  # redeeming a code is how a phone becomes known
    "sync-push": PHONE,
    "sync-pull": PHONE,
    "subscription": PHONE,
    "phone-reminder-stop": PHONE,
    "phone-calendar": PHONE,
    "skin-photo": PHONE,
    "dose-check": API,
    "strength-check": API,
    "schema": API,
    "desk-panel": DESK,
    "panel-keep": DESK,
    "handover": DESK,
    "handover-undo": DESK,
    "patient-add": DESK,
    "patient-detail": DESK,
    "patient-entries": DESK,
    "record-fhir": DESK,
    "course-numbers": DESK,
    "course-numbers-file": DESK,
    "consent-record": DESK,
    "photo-agreement": DESK,
    "photo-agreement-end": DESK,
    "photo-detail": DESK,
    "photo-file": DESK,
    "patient-rules": DESK,
    "episode-add": DESK,
    "contact-record": DESK,
    "contact-correct": DESK,
    "visit-add": DESK,
    "visit-correct": DESK,
    "hold-lift": DESK,
    "note-read": DESK,
    "note-add": DESK,
    "note-detail": DESK,
    "addendum-add": DESK,
    "review-run": DESK,
    "review-patient": DESK,
    "review-shown": DESK,
    "phone-pair": DESK,
    "phone-waiting": DESK,
    "phone-confirm": DESK,
    "phone-revoke": DESK,
    "flag-close": DESK,
    "flag-see": DESK,
    "flag-remark": DESK,
    "held-settle": DESK,
    "phone-file": DESK,
    "calendar-file": DESK,
    "reminder-page": DESK,
    "reminder-set": DESK,
    "contact-request": DESK,
    "screening-record": DESK,
    "limit-record": DESK,
    "limit-end": DESK,
    "strength-tests": DESK,
    "strength-test-record": DESK,
    "strength-test-share": DESK,
    "program-start": DESK,
    "program-assign": DESK,
    "program-revise": DESK,
    "program-pause": DESK,
    "episode-discharge": DESK,
    "episode-reopen": DESK,
    "discharge-letter": DESK,
    "pause-end": DESK,
    "stimulator-set": DESK,
    "revision-compare": DESK,
    "program-sheet": DESK,
    "draft-save": DESK,
    "incident-record": DESK,
    "incident-detail": DESK,
    "incident-close": DESK,
    "incident-report": DESK,
    "months": DESK,
    "months-file": DESK,
    "lending-list": DESK,
    "lending-add": DESK,
    "lending-detail": DESK,
    "loan-open": DESK,
    "loan-return": DESK,
    "stimulator-list": DESK,
    "stimulator-add": DESK,
    "stimulator-edit": DESK,
    "family-list": DESK,
    "family-add": DESK,
    "staff-list": LEAD,
    "staff-invite": LEAD,
    "staff-link": LEAD,
    "staff-end": LEAD,
    "staff-role": LEAD,
    "roster": DESK,
    "roster-week-own": DESK,
    "roster-absence-own": DESK,
    "roster-week": LEAD,
    "roster-absence": LEAD,
    "roster-closure": LEAD,
    "absence-back": DESK,
    "clinic": LEAD,
    "clinic-settings": LEAD,
    "clinic-history": LEAD,
    "rule-outcomes": DESK,
    "clinic-past": LEAD,
    "clinic-texts": LEAD,
    "clinic-rules": LEAD,
    "reminder-effect": LEAD,
    "staff-mail": DESK,
    "clinic-course": LEAD,
    "reminder-stop": PUBLIC,  # the signed token of one message is the key
    "clinician-join": PUBLIC,  # the signed link is the key
    "account_login": PUBLIC,
    "account_logout": PUBLIC,
    "account_inactive": PUBLIC,
    "account_signup": PUBLIC,  # answers that it is closed
    "account_reset_password": PUBLIC,
    "account_reset_password_done": PUBLIC,
    "account_reset_password_from_key": PUBLIC,
    "account_reset_password_from_key_done": PUBLIC,
    "mfa_authenticate": PUBLIC,  # the second step of signing in
    "account_reauthenticate": OWN,
    "account_change_password": OWN,
    "mfa_index": OWN,
    "mfa_reauthenticate": OWN,
    "mfa_activate_totp": OWN,
    "mfa_deactivate_totp": OWN,
    "mfa_view_recovery_codes": OWN,
    "mfa_download_recovery_codes": OWN,
    "mfa_generate_recovery_codes": OWN,
}


def every_route() -> list[URLPattern]:
    return list(_walk(get_resolver()))


def _walk(resolver: URLResolver) -> Iterator[URLPattern]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLResolver):
            yield from _walk(pattern)
        else:
            yield pattern


def parameters_of(route: URLPattern) -> list[str]:
    return list(route.pattern.converters) or list(route.pattern.regex.groupindex)


def names_with(*policies: str) -> list[str]:
    return sorted(name for name, policy in POLICY.items() if policy in policies)
