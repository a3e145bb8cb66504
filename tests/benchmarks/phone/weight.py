"""What a phone has to load, counted from the files a browser really asked for."""

import urllib.request
from urllib.parse import urlsplit

from tests.browser.live_clinic import LiveClinic

ASKED = "() => performance.getEntriesByType('resource').map(({ name }) => name)"
# What a phone says it takes: brotli only over TLS or on loopback.
CODINGS = {"brotli": "gzip, br", "gzip": "gzip", "plain": "identity"}


def weigh(browser, clinic: LiveClinic) -> dict[str, dict[str, int]]:
    """Bytes of the bodies by coding: of all, of the script, of the worker's own copy."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{clinic.url}/p/")
    page.locator("#code").wait_for()
    asked = {name for name in page.evaluate(ASKED) if "/api/" not in name}
    page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    kept = page.evaluate(
        "async () => { const all = [];"
        " for (const name of await caches.keys())"
        " all.push(...(await (await caches.open(name)).keys()).map(({ url }) => url));"
        " return all; }"
    )
    context.close()
    first = {f"{clinic.url}/p/", *asked}
    loads = {
        f"first load, {len(first)} files": first,
        f"script, {len(_scripts(first))} files": _scripts(first),
        f"kept by the worker, {len(kept)} files": set(kept),
    }
    return {
        what: {name: sum(_bytes(url, coding) for url in urls) for name, coding in CODINGS.items()}
        for what, urls in loads.items()
    }


def _scripts(urls: set[str]) -> set[str]:
    return {url for url in urls if urlsplit(url).path.endswith(".js")}


def _bytes(url: str, coding: str) -> int:
    request = urllib.request.Request(url, headers={"Accept-Encoding": coding})
    with urllib.request.urlopen(request) as reply:
        return len(reply.read())
