"""After a whole session no cache and no loose storage holds anything of a person."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.handset import Handset, body

pytestmark = pytest.mark.browser

# Every address and every text of every cache, the headers too.
CACHED = """async () => {
    const found = [];
    for (const name of await caches.keys()) {
        const cache = await caches.open(name);
        for (const request of await cache.keys()) {
            const answer = await cache.match(request);
            const headers = [...answer.headers].map((one) => one.join(": ")).join("\\n");
            found.push([request.method, request.url, headers, await answer.text()]);
        }
    }
    return found;
}"""
LOOSE = "() => JSON.stringify([{ ...localStorage }, { ...sessionStorage }, document.cookie])"


@pytest.fixture(scope="module")
def session(chromium_browser, live_clinic):
    """Paired, logged, noted, sent, fetched, looked at; the desk is read in the same browser."""
    context = chromium_browser.new_context(has_touch=True)
    phone = Handset(context, live_clinic, live_clinic.patient()).pair()
    phone.app.full_day()
    expect(phone.page.locator("main")).to_contain_text("1 of 1 done today")
    phone.save_note("My neighbour Odalys helps me")
    phone.drained()
    for area in ("So far", "Call", "Next bout"):
        phone.app.area(area)
    desk = context.new_page()
    desk.goto(f"{live_clinic.url}/account/login/")
    desk.locator("input[name=login]").fill(live_clinic.login)
    desk.locator("input[name=password]").fill(live_clinic.password)
    desk.locator("main button[type=submit]").first.click()
    desk.goto(f"{live_clinic.url}/desk/patients/{phone.owner.patient}/")
    assert "Odalys" in desk.content()
    phone.page.goto(f"{live_clinic.url}/rescue/")
    phone.restart()
    yield phone
    context.close()


def markers(phone: Handset) -> list[str]:
    """What would tell whose phone it is or what was logged."""
    owner, meta = phone.owner, phone.meta()
    ids = [owner.patient, owner.episode, owner.revision, meta["phone_id"], owner.code]
    entries = [one for row in phone.rows() for one in (row["id"], row["sha256"], body(row)["id"])]
    people = ["Wilma", "Larkrise", "Odalys", "Ro Desk", "01632 960", "01632960"]
    return [*ids, *entries, *people]


def told(cached: list, marks: list[str]) -> list[str]:
    whole = "\n".join("\n".join(one) for one in cached)
    return [mark for mark in marks if mark in whole]


def test_no_cache_holds_anything_personal(session):
    cached = session.page.evaluate(CACHED)

    assert any("$store_open" in text for *_rest, text in cached), "the app is in the cache"
    assert told(cached, markers(session)) == []


def test_no_cache_holds_the_initials(session):
    initials = session.meta()["initials"]
    assert len(initials) >= 2
    # The script is the same for everybody, and its short names may be anybody's initials.
    cached = session.page.evaluate(CACHED)
    texts = [text for _method, address, _headers, text in cached if not address.endswith(".js")]

    assert [one for one in texts if re.search(rf"\b{initials}\b", one)] == []


def test_only_the_shell_and_static_files_are_cached(session):
    cached = session.page.evaluate(CACHED)

    paths = {url.removeprefix(session.clinic.url) for _method, url, *_rest in cached}
    assert {path for path in paths if not path.startswith("/static/")} == {"/p/"}
    assert {method for method, *_rest in cached} == {"GET"}
    assert not [headers for _m, _u, headers, _t in cached if "set-cookie" in headers.lower()]


def test_nothing_lies_in_loose_storage(session):
    assert told([[session.page.evaluate(LOOSE)]], markers(session)) == []


def test_an_answer_in_a_cache_would_be_found(session):
    """The control: one page of the record, put into a cache by hand."""
    session.page.evaluate(
        "async () => { const cache = await caches.open('wrong');"
        " const answer = await fetch('/api/v1/sync/pull/?cursor=');"
        " await cache.put('/api/v1/sync/pull/', answer); }"
    )

    found = told(session.page.evaluate(CACHED), markers(session))

    session.page.evaluate("() => caches.delete('wrong')")
    assert {"Larkrise", session.owner.episode} <= set(found)
