"""What a clinician does at the desk."""

from playwright.sync_api import Page


class Desk:
    def __init__(self, page: Page, url: str) -> None:
        self.page, self.url = page, url

    def sign_in(self, login: str, password: str) -> None:
        self.page.goto(f"{self.url}/account/login/")
        self.page.locator("input[name=login]").fill(login)
        self.page.locator("input[name=password]").fill(password)
        self.page.locator("main button[type=submit]").first.click()
        self.page.wait_for_url(f"{self.url}/desk/")

    def pairing_code(self, patient: str, *, keep_both: bool = False) -> str:
        self.page.goto(f"{self.url}/desk/patients/{patient}/phones/pair/")
        if keep_both:
            self.page.get_by_label("Use both", exact=False).check()
        self.page.get_by_role("button", name="Make a code").click()
        return self.page.locator(".code").inner_text().replace("\n", "")

    def confirm_phone(self) -> None:
        """The phone that appeared is the one in the room."""
        self.page.get_by_role("link", name="Confirm it").click()
        self.page.locator("main button[type=submit]").first.click()

    def panel(self) -> str:
        self.page.goto(f"{self.url}/desk/")
        return self.page.locator("main").inner_text()

    def patient(self, patient: str) -> str:
        self.page.goto(f"{self.url}/desk/patients/{patient}/")
        return self.page.locator("main").inner_text()
