"""A phone of the tests, let in and confirmed through the services, that speaks the protocol."""

import itertools

from rest_framework.test import APIClient


def paired(patient, clinician, now, label: str = "phone", *, replaces=True, standing=False):
    """A phone that was let in, and its credential."""
    from homeprogram.services.pairing import code_create, phone_confirm, phone_pair

    code = code_create(patient=patient, by=clinician, now=now, replaces=replaces, standing=standing)
    phone, token = phone_pair(secret=code.code, label=label, address="10.0.0.1", now=now)
    if not standing:
        phone_confirm(phone=phone, by=clinician, now=now)
    return phone, token


class PairedPhone:
    """A phone that speaks the protocol through the public API."""

    def __init__(self, patient, clinician, now, label: str = "phone", **options) -> None:
        self._have(*paired(patient, clinician, now, label, **options))

    @classmethod
    def of(cls, row, token: str) -> "PairedPhone":
        phone = cls.__new__(cls)
        phone._have(row, token)
        return phone

    def _have(self, row, token: str) -> None:
        self.id = row.id
        self.row = row
        self.token = token
        self.numbers = itertools.count(1)
        self.high = 0
        self.http = APIClient(SERVER_NAME="localhost")
        self.http.cookies["phone"] = token

    def entry(self, kind: str, payload: dict, **body) -> dict:
        from tests.entries import make_entry

        number = body.pop("number", None) or next(self.numbers)
        self.high = max(self.high, number)
        return make_entry(kind, payload, phone_id=str(self.id), number=number, **body)

    def push(self, *entries: dict, **message):
        """POST a push; `claim=True` claims that nothing is unsent now."""
        from tests.entries import make_push

        return self.http.post(
            "/api/v1/sync/push/",
            make_push(entries, high=self.high, **message),
            format="json",
            headers={"X-Boutwise": "1"},
        )

    def pull(self, cursor: str = ""):
        return self.http.get("/api/v1/sync/pull/", {"cursor": cursor})
