"""Local days and closing moments in every zone, against dateutil.

Both sides read the same bytes, those dateutil brings along, so that only the
reckoning is compared and no machine's own data can tip the result.
"""

import io
import tarfile
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from importlib import resources
from zoneinfo import ZoneInfo

import pytest
from dateutil import tz, zoneinfo
from dateutil.relativedelta import relativedelta

from homeprogram.calc.days import closes_at, days_between, local_day, zone_or_utc

KNOWN_HERE = sorted(resources.files("tzdata").joinpath("zones").read_text("utf-8").split())
SECOND = timedelta(seconds=1)
FIRST, WEEKS = datetime(2020, 1, 1, 12, tzinfo=UTC), 52 * 13
MIDWEEK = [FIRST + timedelta(weeks=n) for n in range(WEEKS)]


def files() -> dict[str, bytes]:
    with tarfile.open(fileobj=zoneinfo.getzoneinfofile_stream()) as bundle:
        found = {row.name: bundle.extractfile(row) for row in bundle if not row.isdir()}
        return {name: file.read() for name, file in found.items()}


FILES = {name: content for name, content in files().items() if content.startswith(b"TZif")}
# Hundreds of names are aliases and share their bytes; one of each is enough.
DISTINCT = list({content: name for name, content in FILES.items()}.values())


def reader(name: str) -> tz.tzfile:
    return tz.tzfile(io.BytesIO(FILES[name]), name)


def ours(name: str) -> ZoneInfo:
    return ZoneInfo.from_file(io.BytesIO(FILES[name]), key=name)


@cache
def weeks_of_change(name: str) -> list[date]:
    """Every day of the weeks of 2020-2032 in which this zone's clock was changed."""
    zone = reader(name)
    offsets = [moment.astimezone(zone).utcoffset() for moment in MIDWEEK]
    changed = [n for n in range(1, WEEKS) if offsets[n] != offsets[n - 1]]
    return [MIDWEEK[n].date() - timedelta(days=back) for n in changed for back in range(9)]


def noon_after(day: date, zone: tz.tzfile) -> datetime:
    noon = datetime.combine(day + relativedelta(days=+1), time(12), tzinfo=zone)
    return noon.astimezone(UTC)


@pytest.mark.parametrize("name", DISTINCT)
def test_a_day_closes_at_noon_after_it_whatever_the_clock_does(name):
    reference = reader(name)
    days = [*weeks_of_change(name), date(2028, 2, 28), date(2028, 2, 29), date(2031, 12, 31)]

    assert [closes_at(d, ours(name)) for d in days] == [noon_after(d, reference) for d in days]


@pytest.mark.parametrize("name", DISTINCT)
def test_every_moment_has_the_local_day_that_dateutil_gives_it(name):
    reference = reader(name)
    midnights = [datetime.combine(d, time(), tzinfo=reference) for d in weeks_of_change(name)]
    moments = [m.astimezone(UTC) + shift for m in midnights for shift in (-SECOND, 0 * SECOND)]

    assert [local_day(m, ours(name)) for m in moments] == [
        m.astimezone(reference).date() for m in moments
    ]


@pytest.mark.parametrize(
    ("name", "changes"),
    [("Europe/London", 26), ("Australia/Lord_Howe", 26), ("Asia/Kathmandu", 0)],
)
def test_the_reference_knows_of_clock_changes(name, changes):
    # If dateutil read no change from the bytes, the two tests above would say nothing.
    assert len(weeks_of_change(name)) == 9 * changes


def test_the_reference_covers_the_world():
    assert len(DISTINCT) > 300


@pytest.mark.parametrize(
    ("zone", "day", "hours"),
    [
        ("Europe/London", date(2030, 3, 31), 23),
        ("Europe/London", date(2030, 10, 27), 25),
        ("America/New_York", date(2030, 3, 10), 23),
        ("America/New_York", date(2030, 11, 3), 25),
        ("Australia/Lord_Howe", date(2030, 4, 7), 24.5),
        ("Australia/Lord_Howe", date(2030, 10, 6), 23.5),
        ("Europe/London", date(2030, 6, 1), 24),
        ("Asia/Kathmandu", date(2030, 3, 31), 24),
    ],
)
def test_noon_to_noon_over_a_clock_change_is_as_long_as_that_day(zone, day, hours):
    zone = ZoneInfo(zone)
    before = closes_at(day - timedelta(days=2), zone)

    assert closes_at(day - timedelta(days=1), zone) - before == timedelta(hours=hours)


@pytest.mark.parametrize(
    ("zone", "day", "closing"),
    [
        ("UTC", date(2030, 3, 4), "2030-03-05T12:00+00:00"),
        ("Pacific/Kiritimati", date(2030, 3, 4), "2030-03-04T22:00+00:00"),
        ("Pacific/Pago_Pago", date(2030, 3, 4), "2030-03-05T23:00+00:00"),
        ("Asia/Kathmandu", date(2030, 3, 4), "2030-03-05T06:15+00:00"),
        ("Europe/London", date(2030, 3, 30), "2030-03-31T11:00+00:00"),
        ("Europe/London", date(2030, 12, 31), "2031-01-01T12:00+00:00"),
        ("UTC", date(2032, 2, 28), "2032-02-29T12:00+00:00"),
    ],
)
def test_a_day_closes_at_noon_where_the_patient_lives(zone, day, closing):
    assert closes_at(day, ZoneInfo(zone)) == datetime.fromisoformat(closing)


def test_the_day_apia_never_had_closes_with_the_day_after_it():
    # Samoa went from Thursday 29 to Saturday 31 December 2011. Friday noon never
    # came; read with the offset before the gap (RFC 5545, 3.3.5) it is Saturday noon.
    apia = ZoneInfo("Pacific/Apia")

    assert closes_at(date(2011, 12, 28), apia) == datetime(2011, 12, 29, 22, tzinfo=UTC)
    assert closes_at(date(2011, 12, 29), apia) == datetime(2011, 12, 30, 22, tzinfo=UTC)
    assert closes_at(date(2011, 12, 30), apia) == datetime(2011, 12, 30, 22, tzinfo=UTC)
    assert closes_at(date(2011, 12, 31), apia) == datetime(2011, 12, 31, 22, tzinfo=UTC)


@pytest.mark.parametrize(
    ("moment", "day"),
    [
        ("2011-12-30T09:59:59+00:00", date(2011, 12, 29)),
        ("2011-12-30T10:00:00+00:00", date(2011, 12, 31)),
    ],
)
def test_in_apia_thursday_night_was_followed_by_saturday(moment, day):
    assert local_day(datetime.fromisoformat(moment), ZoneInfo("Pacific/Apia")) == day


@pytest.mark.parametrize(
    ("zone", "day"),
    [("Pacific/Kiritimati", date(2030, 1, 1)), ("Pacific/Pago_Pago", date(2029, 12, 31))],
)
def test_one_moment_is_two_days_on_two_sides_of_the_world(zone, day):
    assert local_day(datetime(2029, 12, 31, 11, 30, tzinfo=UTC), ZoneInfo(zone)) == day


def test_days_between_has_both_ends_and_the_leap_day():
    assert days_between(date(2032, 2, 28), date(2032, 3, 1)) == [
        date(2032, 2, 28),
        date(2032, 2, 29),
        date(2032, 3, 1),
    ]


def test_days_between_of_one_day_is_that_day():
    assert days_between(date(2030, 3, 4), date(2030, 3, 4)) == [date(2030, 3, 4)]


def test_days_between_backwards_is_empty():
    assert days_between(date(2030, 3, 5), date(2030, 3, 4)) == []


def test_every_zone_of_the_data_we_bring_is_known():
    assert [zone_or_utc(name).key for name in KNOWN_HERE] == KNOWN_HERE


@pytest.mark.parametrize(
    "name",
    [
        "",
        "Atlantis/Capital",
        "America",
        "../etc/passwd",
        "/etc/localtime",
        "a\x00b",
        "x" * 5000,
        "\ud800",
        "zone.tab",
    ],
)
def test_a_name_that_is_no_zone_is_read_as_utc(name):
    assert zone_or_utc(name).key == "UTC"
