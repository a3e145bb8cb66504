"""A picture from outside made anew: what comes out is pixels and nothing else."""

import struct
from io import BytesIO

from homeprogram.calc.limits import PHOTO_BYTES_MAX, PHOTO_SIDE_MAX
from homeprogram.errors import PhotoTooLarge, RuleBroken

QUALITY = 85
# What Pillow raises for a file that is cut off, damaged or made to harm.
UNREADABLE = (OSError, SyntaxError, ValueError, TypeError, LookupError, EOFError, struct.error)


def jpeg_made_anew(data: bytes) -> bytes:
    """The same picture as a JPEG without place, date, camera or anything else beside it.

    What it says of itself is not read either: the phone has turned it upright already.

    Raises PhotoTooLarge by bytes or by pixels, before a pixel is read, and RuleBroken
    for whatever is no JPEG.
    """
    from PIL import Image  # noqa: PLC0415  most servers never meet a photo

    if len(data) > PHOTO_BYTES_MAX:
        raise PhotoTooLarge
    try:
        with Image.open(BytesIO(data), formats=["JPEG"]) as picture:
            if max(picture.size) > PHOTO_SIDE_MAX:
                raise PhotoTooLarge
            drawn = picture.convert("RGB")
    except (*UNREADABLE, Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise RuleBroken("This is no picture we can read.", code="photo_unreadable") from None
    clean = Image.new("RGB", drawn.size)
    clean.paste(drawn)  # a copy of the first would keep its comment
    made = BytesIO()
    clean.save(made, "JPEG", quality=QUALITY)
    return made.getvalue()
