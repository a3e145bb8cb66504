"""A form that comes twice acts once: a page sent again because no answer came."""

from hashlib import sha256

from django.core.cache import cache
from django.http import HttpRequest, HttpResponse

KEPT_S = 3600  # as long as somebody may look at a page that does not answer
AT_WORK_S = 60  # longer than a server takes over one answer
KEPT = "This had come before. It is kept once."
AT_WORK = "This has just been sent. Look whether it is there before you send it again."


class Sending:
    """One page with what was filled in.

    A page's token against forgery is drawn anew each time the page is, so that the same
    token with the same words is the same page, sent again. Changed words are another.
    """

    def __init__(self, request: HttpRequest) -> None:
        token = request.POST.get("csrfmiddlewaretoken")
        said = repr((request.user.pk, request.path, sorted(request.POST.lists())))
        self.key = f"sent:{sha256(said.encode()).hexdigest()}" if token else None
        self.path = request.path

    def before(self) -> tuple[str, str] | None:
        """Where the first one led and what to say of it, or None and this is the first."""
        if self.key is None or cache.add(self.key, "", AT_WORK_S):
            return None
        led_to = cache.get(self.key)
        return (led_to, KEPT) if led_to else (self.path, AT_WORK)

    def came(self, response: HttpResponse | None) -> None:
        """What became of it; one that led nowhere can be sent again."""
        url = response.get("Location") if response else None
        if self.key and url:
            cache.set(self.key, url, KEPT_S)
        elif self.key:
            cache.delete(self.key)
