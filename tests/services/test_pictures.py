"""What a picture loses on its way into the record, and what never gets that far."""

from io import BytesIO
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageChops, ImageStat

from homeprogram.errors import HomeProgramError, PhotoTooLarge
from homeprogram.services.pictures import jpeg_made_anew
from tests.support.photos import COMMENT, PLACE, jpeg

SENT = jpeg()
MARKERS_OF_PIXELS = {0xD8, 0xDB, 0xC0, 0xC4, 0xDA}  # ITU-T T.81, table B.1; from memory
APP0 = 0xE0  # JFIF: the size of a pixel


def markers(data: bytes) -> set[int]:
    """The kinds of segment before the pixels, read by their lengths."""
    found, place = {data[1]}, 2
    while data[place + 1] != 0xDA:
        found.add(data[place + 1])
        place += 2 + int.from_bytes(data[place + 2 : place + 4], "big")
    return found | {0xDA}


def opened(data: bytes) -> Image.Image:
    return Image.open(BytesIO(data))


def test_the_picture_sent_tells_of_place_and_camera():
    """Else the tests after this one could not fail."""
    assert PLACE.encode() in SENT
    assert COMMENT in SENT
    assert b"Anymaker" in SENT


def test_nothing_but_pixels_is_left():
    made = jpeg_made_anew(SENT)

    assert markers(made) == MARKERS_OF_PIXELS | {APP0}
    assert not opened(made).getexif()
    assert not any(word in made for word in (PLACE.encode(), COMMENT, b"Anymaker"))


def test_it_still_shows_what_it_showed():
    plain = Image.linear_gradient("L").convert("RGB")
    sent = BytesIO()
    plain.save(sent, "JPEG", quality=95)

    made = opened(jpeg_made_anew(sent.getvalue()))

    difference = ImageStat.Stat(ImageChops.difference(plain, made)).mean
    assert made.size == plain.size
    assert max(difference) < 2


@pytest.mark.parametrize("kind", ["PNG", "GIF", "WEBP", "TIFF", "BMP"])
def test_other_kinds_of_picture_are_refused(kind):
    made = BytesIO()
    Image.new("RGB", (8, 8)).save(made, kind)

    with pytest.raises(HomeProgramError, match="no picture we can read"):
        jpeg_made_anew(made.getvalue())


def test_a_huge_picture_in_few_bytes_is_refused_before_it_is_drawn():
    claimed = bytearray(SENT)
    frame = claimed.index(b"\xff\xc0")
    claimed[frame + 5 : frame + 9] = b"\xff\xff\xff\xff"  # 65,535 by 65,535 pixels

    with pytest.raises(HomeProgramError):
        jpeg_made_anew(bytes(claimed))


def test_too_many_pixels_are_told_as_too_large():
    with pytest.raises(PhotoTooLarge):
        jpeg_made_anew(jpeg(1_601, 8))


@pytest.mark.filterwarnings("ignore::UserWarning")  # damaged EXIF is told of and passed over
@given(seed=st.integers(0, 2**32), wounds=st.integers(1, 30), cut=st.integers(0, 200))
def test_whatever_bytes_come_they_become_a_clean_picture_or_are_refused(seed, wounds, cut):
    chance = Random(seed)
    hurt = bytearray(SENT[: len(SENT) - cut])
    for _ in range(wounds):
        hurt[chance.randrange(len(hurt))] = chance.randrange(256)

    try:
        made = jpeg_made_anew(bytes(hurt))
    except HomeProgramError:
        return
    assert markers(made) == MARKERS_OF_PIXELS | {APP0}
