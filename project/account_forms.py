"""The sign-in form in our words."""

from typing import Any

from allauth.account.forms import LoginForm


class DeskLoginForm(LoginForm):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["login"].label = "E-mail address"
        self.fields["login"].widget.attrs.pop("placeholder", None)
        # The page has a link of its own for a lost password, after the button.
        self.fields["password"].help_text = ""
        self.fields["password"].widget.attrs.pop("placeholder", None)
