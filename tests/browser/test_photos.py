"""A photo of the skin: taken without a network, sent last, and nothing in it but skin."""

import base64
import hashlib
from collections.abc import Iterator
from io import BytesIO

import pytest
from PIL import Image
from playwright.sync_api import expect

from tests.browser.handset import Handset
from tests.browser.live_clinic import LiveClinic
from tests.support.photos import COMMENT, jpeg

pytestmark = pytest.mark.browser

UPRIGHT, ON_ITS_SIDE = 1, 6  # EXIF's words for which way the camera was held
ORIENTATION = 0x0112
LARGE = (3000, 2000)


@pytest.fixture(scope="module")
def live_clinic(tmp_path_factory) -> Iterator[LiveClinic]:
    clinic = LiveClinic(tmp_path_factory.mktemp("photos") / "clinic", "photographed_patients")
    yield clinic
    clinic.server.stop(kill=True)


def picture(size: tuple[int, int], *, held: int = UPRIGHT) -> bytes:
    """Red above and blue below, as the camera sees it, with place and camera in it."""
    drawn = Image.new("RGB", size, (200, 40, 40))
    drawn.paste((40, 40, 200), (0, size[1] // 2, *size))
    exif = Image.open(BytesIO(jpeg())).getexif()
    exif[ORIENTATION] = held
    made = BytesIO()
    drawn.save(made, "JPEG", exif=exif, comment=COMMENT)
    return made.getvalue()


def told_a_mark(phone: Handset) -> None:
    """A bout, and a skin check after it that found something raised."""
    phone.app.go_to_log()
    phone.app.log_bout()
    phone.app.report_raised_skin()


def take(phone: Handset, data: bytes, name: str = "IMG_1.jpg") -> None:
    given = {"name": name, "mimeType": "image/jpeg", "buffer": data}
    phone.page.locator("input[type=file]").set_input_files(given)


def keep(phone: Handset, data: bytes) -> None:
    take(phone, data)
    phone.app.tap("Keep this photo", "button")
    phone.expect_told("Kept on this phone. It goes to your clinic by itself.")


def photos(phone: Handset) -> list[dict]:
    return phone.page.evaluate("() => inside.photos()")


def expect_photo(phone: Handset, state: str) -> None:
    expect(phone.page.locator(".photos")).to_contain_text(state, timeout=20_000)


def at_the_clinic(clinic: LiveClinic, phone: Handset) -> list[tuple]:
    sql = "SELECT sha256, gone_why FROM homeprogram_skinphoto WHERE patient_id = ?"
    return clinic.rows(sql, phone.owner.patient.replace("-", ""))


def test_a_photo_taken_offline_outlives_a_kill_and_goes_after_its_check(phone_browser, live_clinic):
    phone_browser.open()
    owner = Handset(phone_browser.context, live_clinic, live_clinic.patient()).pair().owner
    phone_browser.close()  # or the kill would take the browser's newest cookies, too
    phone_browser.open()
    phone = Handset(phone_browser.context, live_clinic, owner)
    phone.restart()
    phone.context.set_offline(offline=True)
    told_a_mark(phone)
    phone.app.tap("Add a photo of the skin", "link")
    keep(phone, picture(LARGE, held=ON_ITS_SIDE))
    (kept,) = photos(phone)
    data = base64.b64decode(kept["bytes"])
    where = phone.page.url.partition("#")[2]
    phone_browser.kill()

    with Image.open(BytesIO(data)) as drawn:
        assert drawn.size == (853, 1280)  # turned upright
        assert not drawn.getexif()
        assert drawn.getpixel((800, 600))[0] > 150 > drawn.getpixel((50, 600))[0]
    assert len(data) < 400_000
    assert not [mark for mark in (b"Exif", b"Anymaker", b"GPS", COMMENT) if mark in data]

    phone_browser.open()
    phone = Handset(phone_browser.context, live_clinic, owner)
    order: list[str] = []
    phone.context.on("request", lambda request: order.append(f"{request.method} {request.url}"))
    phone.restart()
    phone.go(f"#{where}")
    expect_photo(phone, "Sent to your clinic.")

    sent = [at for at, one in enumerate(order) if one.startswith("PUT ")]
    pushed = [at for at, one in enumerate(order) if "sync/push" in one]
    assert len(sent) == 1
    assert pushed[0] < sent[0]
    assert phone.unsent() == 0
    assert [(one["state"], one["bytes"]) for one in photos(phone)] == [("sent", None)]
    assert at_the_clinic(live_clinic, phone) == [(hashlib.sha256(data).hexdigest(), "")]
    assert phone_browser.faults == []


def test_a_photo_is_removed_here_and_at_the_clinic_by_two_taps(handset, live_clinic):
    phone = handset()
    told_a_mark(phone)
    phone.app.tap("Add a photo of the skin", "link")
    keep(phone, picture((640, 480)))
    expect_photo(phone, "Sent to your clinic.")
    phone.context.set_offline(offline=True)

    phone.app.tap("Remove photo 1", "button")
    phone.app.tap("Yes, remove it", "button")
    expect_photo(phone, "Gone from this phone.")
    assert [why for _, why in at_the_clinic(live_clinic, phone)] == [""]
    phone.context.set_offline(offline=False)

    expect(phone.page.locator(".photos")).to_have_count(0, timeout=30_000)
    assert [why for _, why in at_the_clinic(live_clinic, phone)] == ["patient"]


def test_what_is_no_picture_is_told_and_nothing_is_kept(handset):
    phone = handset()
    told_a_mark(phone)
    phone.app.tap("Add a photo of the skin", "link")
    take(phone, b"no picture at all")

    phone.expect_told("This file is no picture. Take a photo again.")
    expect(phone.page.get_by_role("button", name="Take a photo")).to_be_visible()
    assert photos(phone) == []


def test_a_phone_that_is_left_says_that_photos_are_lost_and_keeps_none(handset):
    phone = handset()
    told_a_mark(phone)
    phone.drained()
    phone.context.route("**/api/v1/photos/**", lambda route: route.abort())
    phone.go(f"#entry/{phone.rows()[-1]['id']}")
    phone.app.tap("Add a photo of the skin", "link")
    keep(phone, picture((640, 480)))
    phone.rests()
    phone.go("#leave")
    phone.app.expect_words("1 photo waits here. If you leave, it is lost.")
    phone.tap_save("Leave this phone now")
    phone.tap_save("Yes, leave")

    expect(phone.page.locator("#code")).to_be_visible(timeout=20_000)
    assert photos(phone) == []
