"""The cast of every test: a clinic, its people, a patient with a paired phone, an outsider."""

import functools
import os
from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from django.conf import settings
from django.core.cache import cache

from tests.support.cast import Stage
from tests.support.paired_phone import PairedPhone, paired

NOW = datetime(2030, 3, 4, 9, 0, tzinfo=UTC)  # a Monday
PASSWORD = "a long enough phrase for tests"


def pytest_configure(config: pytest.Config) -> None:
    if not settings.TEST:  # https only, other hosts: faults that none of them is
        raise pytest.UsageError("Run tests by `python3 manage.py test PATHS`.")
    config.pluginmanager.register(STAGE)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--long", action="store_true", help="the long forms of simulations, kills and drills"
    )


# So that no core is left with one long file when the others are done.
LONGEST_FIRST = (
    "tests/test_on_postgresql.py",
    "tests/browser/test_kill_hammer.py",
    "tests/simulation",
    "tests/browser",
    "tests/drills",
)


@pytest.hookimpl(trylast=True)  # after the shuffle
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: [not item.nodeid.startswith(one) for one in LONGEST_FIRST])
    if "DATABASE_URL" in os.environ:  # what asks no database has been shown without this one
        elsewhere = [item for item in items if not _asks_a_database(item)]
        config.hook.pytest_deselected(items=elsewhere)
        items[:] = [item for item in items if _asks_a_database(item)]


def _asks_a_database(item: pytest.Item) -> bool:
    if item.get_closest_marker("any_database"):
        return False
    asked = {"db", "transactional_db", "django_db_setup"} & set(item.fixturenames)
    return bool(asked) or item.get_closest_marker("django_db") is not None or item.cls is not None


@pytest.fixture(scope="session")
def django_db_setup(
    django_test_environment, django_db_modify_db_settings, django_db_blocker
) -> Iterator[None]:
    """Tables for whatever runs: pytest-django makes none where no test asks for `db`,
    and a test that commits by itself does not."""
    from django.test.utils import setup_databases, teardown_databases

    with django_db_blocker.unblock():
        made = setup_databases(verbosity=0, interactive=False, serialized_aliases=())
    yield
    STAGE.clear()
    with django_db_blocker.unblock():
        teardown_databases(made, verbosity=0)


@pytest.fixture(autouse=True)
def _nothing_counted() -> None:
    """Rate limits are counted in the process's memory, by an address that all tests share."""
    cache.clear()


@pytest.fixture(scope="session")
def long_run(request: pytest.FixtureRequest) -> bool:
    """Whether this run has hours, not minutes: `manage.py test --long`."""
    return request.config.getoption("--long")


@pytest.fixture
def now() -> datetime:
    return NOW


def make_clinic(now: datetime, name: str = "Larkrise Knee Clinic"):
    from homeprogram.services.clinics import clinic_create

    return clinic_create(
        name=name,
        phone_number="01632 960 001",
        hours="Monday to Friday, 8 to 17",
        out_of_hours="Call the out-of-hours line on 01632 960 002.",
        emergency_number="112",
        zone="UTC",
        now=now,
    )


def make_clinician(clinic, email: str, now: datetime, role: str = "clinician", name: str = "Ro"):
    from homeprogram.services.clinics import clinician_invite

    clinician = clinician_invite(clinic=clinic, email=email, name=name, role=role, now=now)
    clinician.user.password = hashed_password()
    clinician.user.save(update_fields=["password"])
    return clinician


@functools.cache
def hashed_password() -> str:
    """Hashed once: argon2 is slow on purpose."""
    from django.contrib.auth.hashers import make_password

    return make_password(PASSWORD)


def make_dose(**changes):
    from homeprogram.services.programs import Dose

    values = {
        "weekdays": (0, 1, 2, 3, 4, 5, 6),
        "bouts_per_day": 1,
        "contractions_per_bout": 15,
        "bout_min": 15,
        "waveform": "symmetric_biphasic",
        "frequency_hz": 50,
        "phase_duration_us": 300,
        "on_s": 10,
        "off_s": 50,
        "ramp_up_s": 2,
        "ramp_down_s": 1,
        "ramps_inside_on": True,
        "electrode_cm2": 60,
        "intensity": ({"channel": 1, "start": 20, "floor": 30, "ceiling": 60},),
        "knee_angle_deg": 65,
        "position": "sitting, shin strapped",
        "exercises": (
            {
                "code": "quad_set",
                "name": "Tighten the thigh",
                "contraction_type": "isometric",
                "how": "Push the knee down and hold.",
            },
        ),
        "family": "acl_reconstruction",
    }
    return Dose(**values | changes)


def make_screening(episode, by, now: datetime, occasion: str = "first", **found):
    """Every condition answered no, but for `found`: {code: Answer}."""
    from homeprogram.calc.days import local_day, zone_or_utc
    from homeprogram.calc.guidance import screening_conditions
    from homeprogram.calc.screening import Answer
    from homeprogram.services.screenings import screening_record

    answers = {one.code: Answer(present=False) for one in screening_conditions()}
    return screening_record(
        episode=episode,
        by=by,
        on=local_day(now, zone_or_utc(episode.patient.zone)),
        occasion=occasion,
        answers=answers | found,
        now=now,
    )


def make_program(patient, clinician, now: datetime, limb: str = "left", **changes):
    """A screened episode with its program; its first revision starts the day after `now`."""
    from datetime import timedelta

    from homeprogram.selectors.record import stimulators_of_clinic
    from homeprogram.services.patients import episode_add
    from homeprogram.services.programs import program_assign

    episode = episode_add(
        patient=patient,
        limb=limb,
        pathway="conservative",
        starts_on=now.date(),
        now=now,
    )
    make_screening(episode, clinician, now)
    return program_assign(
        episode=episode,
        by=clinician,
        dose=make_dose(**changes),
        stimulator=stimulators_of_clinic(clinic=patient.clinic)[0],
        first_day=now.date() + timedelta(days=1),
        reason="first dose",
        now=now,
    )


def _clinician(clinic, now: datetime):
    return make_clinician(clinic, "ro@larkrise.example", now, name="Ro Desk")


def _patient(clinician, now: datetime):
    from homeprogram.services.patients import patient_add

    return patient_add(by=clinician, name="Wilma Tarn", now=now, zone="UTC")


STAGE = Stage(
    {
        "clinic": lambda cast: make_clinic(NOW),
        "clinician": lambda cast: _clinician(cast["clinic"], NOW),
        "patient": lambda cast: _patient(cast["clinician"], NOW),
        "revision": lambda cast: make_program(cast["patient"], cast["clinician"], NOW),
        "phone": lambda cast: paired(cast["patient"], cast["clinician"], NOW),
    }
)


@pytest.fixture
def made(db) -> dict:
    """Who of the cast is there already: see tests/support/cast.py."""
    return STAGE.cast()


@pytest.fixture
def clinic(made, now):
    return made.get("clinic") or make_clinic(now)


@pytest.fixture
def lead(clinic, now):
    return make_clinician(clinic, "lead@larkrise.example", now, role="lead", name="Ines Lead")


@pytest.fixture
def clinician(made, clinic, now):
    return made.get("clinician") or _clinician(clinic, now)


@pytest.fixture
def outsider(db, now):
    """A clinician of another clinic."""
    other = make_clinic(now, "Saltmarsh Physio")
    return make_clinician(other, "una@saltmarsh.example", now, name="Una Other")


@pytest.fixture
def patient(made, clinician, now):
    return made.get("patient") or _patient(clinician, now)


@pytest.fixture
def revision(made, patient, clinician, now):
    return made.get("revision") or make_program(patient, clinician, now)


@pytest.fixture
def episode(revision):
    return revision.program.episode


@pytest.fixture
def desk(client, clinician):
    """A signed-in clinician's browser."""
    client.force_login(clinician.user)
    return client


@pytest.fixture
def phone(made, patient, clinician, revision, now) -> PairedPhone:
    return PairedPhone.of(*(made.get("phone") or paired(patient, clinician, now)))
