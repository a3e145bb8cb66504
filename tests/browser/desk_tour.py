"""Walks a lead through every page of the desk, filled and refused."""

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Browser, Page

from tests.browser.desk import Desk
from tests.browser.look import DESK, DESK_IN_HAND, DESK_REFUSED, Gauge, Listener, Look, look_at
from tests.support.screen_names import LAST_OF_ALL, SIGNED_IN, SIGNED_OUT

FORM = "main form[method=post]"
# Takes every answer out; False where there is nothing to answer.
EMPTIED = f"""() => {{
    const form = document.querySelector("{FORM}");
    const fields = form ? [...form.elements].filter(({{ type, name }}) =>
        name && name !== "csrfmiddlewaretoken" && !["submit", "button"].includes(type)) : [];
    for (const field of fields) {{
        if (["checkbox", "radio"].includes(field.type)) field.checked = false;
        else field.value = "";
    }}
    return fields.length > 0;
}}"""
# Past the browser's own checks: what the server answers is what counts.
SEND = f"""() => {{
    const form = document.querySelector("{FORM}");
    form.noValidate = true;
    form.requestSubmit();
}}"""
# What is folded is looked at too; the entries of weeks ago are like this week's.
OPENED = (
    """() => document.querySelectorAll("details:not(.past)").forEach((one) => (one.open = true))"""
)
# Where an empty form is a fair answer, there is nothing to refuse.
NEVER_REFUSED = {"account_logout", "mfa_generate_recovery_codes"}


class DeskTour:
    def __init__(self, browser: Browser, url: str, told: dict, *, deep: bool = False) -> None:
        self.url, self.told, self.deep = url, told, deep
        self.looks: list[Look] = []
        self.answers: dict[str, int] = {}
        self.context = browser.new_context(viewport=DESK.size, reduced_motion="reduce")
        self.context.set_default_timeout(15_000)
        # Handed over once: it is half a megabyte, and there are a hundred pages.
        self.context.add_init_script(AXE_SCRIPT)
        self.listener = Listener(self.context, url)
        self.page: Page = self.context.new_page()
        self.desk = Desk(self.page, url)

    @property
    def faults(self) -> list[str]:
        return self.listener.faults

    def walk(self) -> "DeskTour":
        self._pages(SIGNED_OUT)
        self.desk.sign_in(self.told["login"], self.told["password"])
        self._panel()
        self._pages(SIGNED_IN)
        self._phone_pair()
        self._not_there()
        self._second_step()
        self.context.close()
        return self

    def look(self, name: str, gauge: Gauge = DESK) -> None:
        self.looks.append(look_at(self.page, name, gauge, deep=self.deep))
        self.page.set_viewport_size(DESK.size)

    def open(self, path: str) -> int:
        answer = self.page.goto(self.url + path)
        self.page.evaluate(OPENED)
        return answer.status

    def _pages(self, names: tuple[str, ...]) -> None:
        for name in names:
            self.answers[name] = self.open(self.told["pages"][name])
            self.look(name)
            if name not in NEVER_REFUSED:
                self._refused(name)

    def _refused(self, name: str) -> None:
        if not self.page.evaluate(EMPTIED):
            return
        with self.page.expect_navigation():
            self.page.evaluate(SEND)
        if self.page.locator(".trouble, .error").count():
            self.look(f"{name}, refused", DESK_REFUSED)

    def _panel(self) -> None:
        self.open("/desk/")
        self.look("panel in the hand", DESK_IN_HAND)

    def _phone_pair(self) -> None:
        self.open(self.told["pages"]["phone-pair"])
        self.page.get_by_role("button", name="Make a code").click()
        self.page.locator(".code").wait_for()
        self.look("phone-pair, code shown")

    def _not_there(self) -> None:
        self.open("/desk/nothing/")
        self.look("nothing there")

    def _second_step(self) -> None:
        """Somebody else signs in, whom a code app guards."""
        step, *pages = LAST_OF_ALL
        guarded = self.told["guarded"]
        self.context.clear_cookies()
        self.open("/account/login/")
        self.page.locator("input[name=login]").fill(guarded["login"])
        self.page.locator("input[name=password]").fill(self.told["password"])
        self.page.locator("main button[type=submit]").first.click()
        self.page.locator("input[name=code]").wait_for()
        self.look(step)
        self._refused(step)
        self.page.locator("input[name=code]").fill(guarded["code"])
        self.page.locator("main button[type=submit]").first.click()
        self.page.wait_for_url("**/desk/")
        self._pages(tuple(pages))
