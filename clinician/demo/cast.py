"""The invented people of the demo clinic: data only. Days count from today."""

from dataclasses import dataclass
from datetime import date, time

from clinician.demo.doses import Wanted, dose_of

EVERY_DAY = (0, 1, 2, 3, 4, 5, 6)
MORNING_BOUT = time(9)
EVENING_BOUT = time(18)


@dataclass(frozen=True, slots=True, kw_only=True)
class Care:
    """One limb's episode. `surgery` is a day counted from today; None = none planned."""

    limb: str
    pathway: str
    wanted: Wanted
    procedure: str = ""
    surgery: int | None = None
    surgeon_limits: str = ""
    times: tuple[time, ...] = (MORNING_BOUT, EVENING_BOUT)

    @property
    def weekdays(self) -> tuple[int, ...]:
        return dose_of(self.wanted).weekdays


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """How a patient usually does: pairs run from the first day to today."""

    keeps: float = 0.95  # of the bouts due
    effort: tuple[float, float] = (0.35, 0.8)
    discomfort: float = 5
    knee_pain: tuple[float, float] = (4, 1.5)
    marks: float = 0.25  # share of bouts that leave a slight even change


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A patient; `key` names their story, `days_ago` their first visit."""

    key: str
    name: str
    about: str
    born_on: date
    telephone: str
    days_ago: int
    cares: tuple[Care, ...]
    habits: Habits = Habits()
    has_phone: bool = True


def _after_knee_replacement(limb: str, surgery: int, **changes: object) -> Care:
    wanted = {"family": "tka_home", "start": 22, "floor": 34, "ceiling": 58} | changes
    bouts = wanted.get("bouts_per_day", 2)
    return Care(
        limb=limb,
        pathway="post_operative",
        procedure="Total knee replacement",
        surgery=surgery,
        surgeon_limits="Full weight as tolerated.",
        wanted=Wanted(**wanted),
        times=(MORNING_BOUT, EVENING_BOUT)[:bouts],
    )


def _after_ligament_repair(limb: str, surgery: int) -> Care:
    return Care(
        limb=limb,
        pathway="post_operative",
        procedure="Anterior cruciate ligament reconstruction",
        surgery=surgery,
        surgeon_limits="No active straightening beyond 45 degrees before week 6.",
        wanted=Wanted(family="acl_reconstruction", start=26, floor=40, ceiling=70),
        times=(EVENING_BOUT,),
    )


def _worn_knee(limb: str, weekdays: tuple[int, ...], **changes: object) -> Care:
    values = {"pathway": "conservative", "times": (MORNING_BOUT,)} | changes
    wanted = Wanted(family="knee_osteoarthritis", start=20, floor=30, ceiling=52, weekdays=weekdays)
    return Care(limb=limb, wanted=wanted, **values)


def _strengthening(limb: str, bouts_per_day: int, **changes: object) -> Care:
    wanted = Wanted(
        family="strengthening_home",
        start=24,
        floor=36,
        ceiling=60,
        weekdays=EVERY_DAY,
        bouts_per_day=bouts_per_day,
    )
    values = {"pathway": "conservative"} | changes
    return Care(
        limb=limb, wanted=wanted, times=(MORNING_BOUT, EVENING_BOUT)[:bouts_per_day], **values
    )


CAST = (
    Member(
        key="steady",
        name="Mara Holt",
        about="steady, four weeks in",
        born_on=date(1957, 3, 9),
        telephone="01632 960110",
        days_ago=29,
        cares=(_after_knee_replacement("left", -33, bouts_per_day=1),),
        habits=Habits(keeps=1, effort=(0.4, 0.9), knee_pain=(4, 1)),
    ),
    Member(
        key="fading",
        name="Tobias Wren",
        about="fading: days missed, dose low",
        born_on=date(1961, 11, 2),
        telephone="01632 960111",
        days_ago=30,
        cares=(_after_knee_replacement("right", -35),),
        habits=Habits(keeps=0.95, discomfort=7, knee_pain=(5, 3)),
    ),
    Member(
        key="silent_phone",
        name="Nell Ashby",
        about="silent phone: nothing heard for days",
        born_on=date(1949, 7, 21),
        telephone="01632 960112",
        days_ago=24,
        cares=(_strengthening("left", 2),),
    ),
    Member(
        key="skin_reaction",
        name="Ivo Carrick",
        about="raised patch yesterday: limb on hold",
        born_on=date(1968, 1, 14),
        telephone="01632 960113",
        days_ago=17,
        cares=(_after_knee_replacement("right", -20),),
        habits=Habits(keeps=1, marks=0.5),
    ),
    Member(
        key="stop_report",
        name="Gwen Pryor",
        about="calf pain reported: everything on hold",
        born_on=date(1955, 5, 30),
        telephone="01632 960114",
        days_ago=13,
        cares=(_after_knee_replacement("left", -15),),
        habits=Habits(keeps=1, knee_pain=(5, 3)),
    ),
    Member(
        key="surgery_review",
        name="Samuel Obradi",
        about="paused, waiting for the surgeon",
        born_on=date(1996, 9, 17),
        telephone="01632 960115",
        days_ago=26,
        cares=(_after_ligament_repair("right", -38),),
        habits=Habits(keeps=1, knee_pain=(3, 1)),
    ),
    Member(
        key="over_use",
        name="Petra Novell",
        about="over-use: far more than asked",
        born_on=date(1983, 12, 5),
        telephone="01632 960116",
        days_ago=15,
        cares=(_strengthening("right", 1),),
        habits=Habits(keeps=1, effort=(0.6, 1.0), discomfort=6),
    ),
    Member(
        key="two_limbs",
        name="Helen Marsh",
        about="two limbs: left before surgery, right without",
        born_on=date(1952, 2, 27),
        telephone="01632 960117",
        days_ago=22,
        cares=(
            _worn_knee(
                "left",
                (0, 2, 4),
                pathway="pre_operative",
                procedure="Total knee replacement",
                surgery=19,
            ),
            _worn_knee("right", (1, 3, 5), times=(EVENING_BOUT,)),
        ),
        habits=Habits(keeps=1, knee_pain=(5, 4)),
    ),
    Member(
        key="near_end",
        name="Albert Quill",
        about="near the end; a correction and a withdrawal",
        born_on=date(1999, 6, 11),
        telephone="01632 960118",
        days_ago=40,
        cares=(_after_ligament_repair("left", -52),),
        habits=Habits(keeps=1, effort=(0.4, 0.95), discomfort=4, knee_pain=(3, 0)),
    ),
    Member(
        key="new_today",
        name="Lucy Tamm",
        about="new today, no phone yet",
        born_on=date(1959, 10, 3),
        telephone="01632 960119",
        days_ago=0,
        cares=(_after_knee_replacement("right", -3),),
        has_phone=False,
    ),
    Member(
        key="travelled",
        name="Rafael Dunmore",
        about="travelled across time zones",
        born_on=date(1979, 4, 25),
        telephone="01632 960120",
        days_ago=21,
        cares=(_strengthening("left", 1),),
        habits=Habits(keeps=1, knee_pain=(2, 1)),
    ),
    Member(
        key="stops_for_pain",
        name="Dennis Arkwell",
        about="left bouts out for pain three times",
        born_on=date(1963, 8, 8),
        telephone="01632 960121",
        days_ago=19,
        cares=(_after_knee_replacement("left", -23),),
        habits=Habits(keeps=1, discomfort=7, knee_pain=(4, 6)),
    ),
    Member(
        key="held_entry",
        name="Wanda Kroll",
        about="one entry could not be read and is held",
        born_on=date(1971, 1, 19),
        telephone="01632 960122",
        days_ago=18,
        cares=(_worn_knee("right", EVERY_DAY),),
        habits=Habits(keeps=1, knee_pain=(4, 2)),
    ),
    Member(
        key="back_after_lift",
        name="Joan Bexwell",
        about="back after a hold was lifted",
        born_on=date(1966, 6, 6),
        telephone="01632 960123",
        days_ago=23,
        cares=(
            _strengthening(
                "right",
                1,
                pathway="post_operative",
                procedure="Partial meniscus removal",
                surgery=-28,
            ),
        ),
        habits=Habits(keeps=1, knee_pain=(3, 1)),
    ),
    Member(
        key="something_changed",
        name="Ottilie Farrow",
        about="told of an implant: everything on hold",
        born_on=date(1954, 4, 17),
        telephone="01632 960124",
        days_ago=12,
        cares=(_worn_knee("left", EVERY_DAY),),
        habits=Habits(keeps=1, knee_pain=(4, 3)),
    ),
    Member(
        key="lost_log",
        name="Jonas Pell",
        about="the phone's log was cleared with entries unsent",
        born_on=date(1988, 9, 3),
        telephone="01632 960125",
        days_ago=11,
        cares=(_strengthening("right", 1),),
        habits=Habits(keeps=1, knee_pain=(2, 1)),
    ),
)
