"""Pictures as a phone's camera makes them, and photos in the record."""

from datetime import datetime, timedelta
from io import BytesIO
from random import Random

from PIL import Image

EXIF_CAMERA, EXIF_GPS = 0x010F, 0x8825
PLACE = "53 deg 12"
COMMENT = b"taken at home"


def jpeg(width: int = 40, height: int = 30, *, seed: int = 1) -> bytes:
    """A noisy picture that tells where, when and with what it was taken."""
    noise = Random(seed).randbytes(width * height * 3)
    picture = Image.frombytes("RGB", (width, height), noise)
    exif = Image.Exif()
    exif[EXIF_CAMERA] = "Anymaker"
    exif.get_ifd(EXIF_GPS)[29] = PLACE
    made = BytesIO()
    picture.save(made, "JPEG", quality=80, exif=exif, comment=COMMENT, dpi=(300, 300))
    return made.getvalue()


def photos_switched_on(clinic, by, now: datetime) -> None:
    from homeprogram.services.settings import clinic_settings_set

    clinic_settings_set(clinic=clinic, settings={"photos": True}, by=by, now=now)


def agreed_to_photos(patient, by, now: datetime, **said: object):
    """The clinic takes photos, and this grown-up patient agreed to them."""
    from homeprogram.services.photos import photo_agreement_record

    photos_switched_on(patient.clinic, by, now)
    patient.clinic.refresh_from_db()
    return photo_agreement_record(patient=patient, by=by, now=now, **{"said_of_age": True} | said)


def check_sent(phone, revision, now: datetime, **body: object) -> str:
    """The id of a skin check with a raised spot that has reached the clinic."""
    from tests.entries import entry_id, skin
    from tests.support.pushes import push_at

    of = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    entry = phone.entry("skin_check", skin(raised=True), **of | body)
    push_at(phone, now, entry)
    return entry_id(entry)


def make_photo(phone, revision, now: datetime, *, data: bytes = b"", check: str = ""):
    """A photo of an agreed patient that lies in the record."""
    from uuid import uuid4

    from homeprogram.services.photos import photo_take

    return photo_take(
        phone=phone.row,
        photo_id=uuid4(),
        entry_id=check or check_sent(phone, revision, now),
        taken_ms=int((now - timedelta(minutes=2)).timestamp() * 1000),
        data=data or jpeg(),
        now=now,
    )


def photo_of_newest_check(patient, by, now: datetime):
    """Of a patient of the demo's, who agrees first."""
    from uuid import uuid4

    from homeprogram.models import Entry
    from homeprogram.services.photos import photo_take

    agreed_to_photos(patient, by, now)
    check = Entry.objects.filter(patient=patient, kind="skin_check").latest("received_at")
    taken = {"taken_ms": check.device_ms, "data": jpeg(320, 240), "now": now}
    return photo_take(phone=check.phone, photo_id=uuid4(), entry_id=check.entry_id, **taken)
