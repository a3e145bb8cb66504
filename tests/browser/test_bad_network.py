"""What a gateway answers in the clinic's place confirms nothing, and is told calmly."""

import json
import re
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE
from tests.browser.handset import ALL_SENT, SETTLED, UNSENT, Handset, differences

pytestmark = pytest.mark.browser

RECEIPT_TYPE = "application/vnd.boutwise.receipt+json"
EVERYTHING, PUSHES = "**/api/v1/**", "**/api/v1/sync/push/"
OTHER_ID = "0190a000-0000-7000-8000-00000000ffff"
WAITS = re.compile("on this phone and waits? to be sent.")


@pytest.fixture(scope="module")
def phone(chromium_browser, live_clinic):
    """Paired once; every test leaves it drained."""
    context = chromium_browser.new_context(viewport=PHONE, has_touch=True)
    yield Handset(context, live_clinic, live_clinic.patient()).pair()
    context.close()


def portal(**answer):
    """The same answer to whatever is asked."""
    return EVERYTHING, lambda route, _identity: route.fulfill(**answer)


def receipt(**changes):
    """A receipt as the clinic would write it, but for `changes`."""

    def answer(route, identity: str) -> None:
        said = json.loads(route.request.post_data)
        whole = {
            "log_identity": identity,
            "nonce": said["nonce"],
            "receipts": [named(one, changes.get("each", {})) for one in said["entries"]],
            "high": said["high"],
            "gaps": [],
            "server_ms": said["sent_ms"],
            "limits": {"entries": 250, "bytes": 262144},
            "retry_after_s": None,
        }
        text = json.dumps(whole | changes.get("whole", {}))[: changes.get("cut")]
        route.fulfill(
            status=changes.get("status", 200),
            content_type=changes.get("type", RECEIPT_TYPE),
            body=text,
        )

    return PUSHES, answer


def named(item: dict, changes: dict) -> dict:
    id_ = json.loads(item["body"])["id"]
    return {"id": id_, "outcome": "stored", "sha256": item["sha256"], "version": 1} | changes


HTML = {"content_type": "text/html", "body": "<h1>Welcome to Guest Wi-Fi</h1>"}
FORGERIES = {
    "a portal's page": portal(status=200, **HTML),
    "an empty 200": portal(status=200, body=""),
    "a redirect to a login page": portal(status=302, headers={"Location": "/account/login/"}),
    "a 511": portal(status=511, **HTML),
    "a gateway's 401": portal(status=401, **HTML),
    "a gateway's 403 in JSON": portal(status=403, json={"code": "denied"}),
    "a gateway's 429 without an end": portal(status=429, headers={"Retry-After": "86400"}),
    "no connection": (EVERYTHING, lambda route, _identity: route.abort()),
    "half a receipt": receipt(cut=80),
    "a receipt as plain JSON": receipt(type="application/json"),
    "a receipt with another status": receipt(status=201),
    "another request's receipt": receipt(whole={"nonce": "another"}),
    "another clinic's receipt": receipt(whole={"log_identity": OTHER_ID}),
    "a receipt for other content": receipt(each={"sha256": "0" * 64}),
    "a receipt for another entry": receipt(each={"id": OTHER_ID}),
    "a receipt with an unknown word": receipt(each={"outcome": "ok"}),
}


class Gateway:
    """Stands between one phone and its clinic."""

    def __init__(self, phone: Handset, where: str, answer) -> None:
        self.phone, self.where, self.answers = phone, where, 0
        identity = phone.meta()["log_identity"]

        def handle(route) -> None:
            self.answers += 1
            answer(route, identity)

        phone.page.route(where, handle)

    def go(self) -> None:
        self.phone.page.unroute(self.where)


@pytest.fixture(params=FORGERIES)
def gateway(phone, request):
    stands = Gateway(phone, *FORGERIES[request.param])
    yield stands
    stands.go()


def test_a_gateway_confirms_nothing_and_the_entry_arrives_once_it_is_gone(phone, gateway):
    had = len(phone.rows())

    phone.save_note("written in a café")
    phone.app.area("Call")
    phone.page.wait_for_function(SETTLED)

    assert gateway.answers > 0
    assert phone.rows()[-1]["state"] in UNSENT
    expect(phone.page.locator("main")).to_contain_text(WAITS)
    expect(phone.page.locator("main")).not_to_contain_text(ALL_SENT)
    gateway.go()
    phone.drained()
    assert len(phone.rows()) == had + 1
    assert differences(phone.rows(), phone.clinic.entries(phone.owner)) == []
    assert phone.clinic.held(phone.owner) == []


@pytest.mark.parametrize("name", ["a portal's page", "a gateway's 401", "a 511"])
def test_a_start_behind_a_gateway_shows_the_log_and_no_alarm(phone, name):
    gateway = Gateway(phone, *FORGERIES[name])

    phone.restart()
    phone.page.wait_for_function(SETTLED)

    phone.app.expect_words("LEFT", "0 of 1 done today")
    expect(phone.page.locator("main")).not_to_contain_text("does not know this phone")
    expect(phone.page.locator("main")).not_to_contain_text("cleared")
    assert gateway.answers > 0
    gateway.go()
    phone.drained()


def test_a_code_typed_behind_a_gateway_pairs_nothing(chromium_browser, live_clinic):
    context = chromium_browser.new_context(viewport=PHONE, has_touch=True)
    phone = Handset(context, live_clinic, live_clinic.patient())
    phone.app.open()
    phone.page.route(EVERYTHING, lambda route: route.fulfill(status=200, **HTML))

    phone.app.pair(phone.owner.code)

    expect(phone.page.locator("main")).to_contain_text("Are you on guest Wi-Fi?")
    assert phone.meta().get("phone_id") is None
    phone.page.unroute(EVERYTHING)
    phone.app.tap("Pair now", "button")
    expect(phone.page.locator("main")).to_contain_text(ALL_SENT)
    context.close()


class Portal(BaseHTTPRequestHandler):
    """Answers everything with its page, the worker's script and the app's files included."""

    def _page(self) -> None:
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.end_headers()
        self.wfile.write(HTML["body"].encode())

    do_GET = do_POST = _page  # noqa: N815  the names http.server calls

    def log_message(self, *_words: object) -> None:
        pass


@pytest.fixture
def portal_in_its_place(live_clinic):
    live_clinic.server.stop()
    stands = ThreadingHTTPServer(("127.0.0.1", live_clinic.server.port), Portal)
    Thread(target=stands.serve_forever, daemon=True).start()
    yield
    stands.shutdown()
    stands.server_close()
    live_clinic.server.start()


UPDATED = """() => navigator.serviceWorker.ready.then((one) => one.update())
    .then(() => "updated", () => "refused")"""


def test_a_portal_in_the_clinics_place_does_not_become_the_app(phone, portal_in_its_place):
    assert phone.page.evaluate(UPDATED) == "refused"

    phone.restart()

    phone.app.expect_words("LEFT", "0 of 1 done today")
    phone.save_note("still our own app")
    phone.page.wait_for_function(SETTLED)
    assert phone.rows()[-1]["state"] in UNSENT
