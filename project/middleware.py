"""Headers that every answer carries, errors included."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

# We ask the browser for nothing but notifications, which need no entry here.
PERMISSIONS = ", ".join(
    f"{feature}=()"
    for feature in (
        "accelerometer",
        "autoplay",
        "camera",
        "display-capture",
        "geolocation",
        "gyroscope",
        "hid",
        "magnetometer",
        "microphone",
        "midi",
        "payment",
        "serial",
        "usb",
    )
)


def response_headers(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.headers.setdefault("Permissions-Policy", PERMISSIONS)
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        # A page may say otherwise; silence must not mean "cache a patient".
        response.headers.setdefault("Cache-Control", "no-store")
        return response

    return middleware
