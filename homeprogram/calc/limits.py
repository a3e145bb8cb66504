"""Every number that is a rule or a bound of the log; one home for each.

Thresholds of flags are common practice, no source; a clinic may change them.
Bounds of entries are what a thumb can plausibly mean, not clinical advice.
"""

from dataclasses import dataclass

# --- what an entry may say -----------------------------------------------
RATING_MAX = 10  # discomfort and knee pain, 0-10
BOUT_MINUTES_MAX = 240  # [min]
CONTRACTIONS_MAX = 600  # [count] in one bout
INTENSITY_MAX_MA = 200  # [mA] nothing portable delivers more
INTENSITY_MAX_LEVEL = 999  # a stimulator's own display units
NOTE_MAX = 1000  # [characters] of a bout's note
MESSAGE_MAX = 2000  # [characters] of a note to the clinic
REASON_MAX = 300  # [characters]
ENTRY_BYTES_MAX = 16_384  # [bytes] one entry as sent

# --- what a push may carry ------------------------------------------------
PUSH_ENTRIES_MAX = 250
PUSH_BYTES_MAX = 262_144
PULL_CHANGES_MAX = 200
GAPS_MAX = 1000  # missing numbers named in one answer

# --- what a file of a phone's entries may carry --------------------------------
FILE_BYTES_MAX = 4_194_304
FILE_ENTRIES_MAX = 5_000  # two and a half years of five a day

# --- when a bout counts ------------------------------------------------------
BOUT_COMPLETE_SHARE = 0.8  # of its prescribed contractions
GRACE_UNTIL_HOUR = 12  # noon of the next day, patient's zone
CLAIM_CLOCK_MAX_MS = 2 * 3_600_000  # a clock further off moves no watermark

# --- skin, home grading 0-4 ----------------------------------------------------
GRADE_MAX = 4
GRADE_HOLD = 3  # raises a hold at any moment

# --- photos of the skin; ours, no source: enough to see a mark by -----------------
PHOTO_BYTES_MAX = 600_000
PHOTO_SIDE_MAX = 1_600  # [px]
PHOTOS_PER_CHECK = 3
PHOTOS_A_DAY = 12  # of one patient, so that no phone can fill the record

# --- pads ---------------------------------------------------------------------------
PADS_USES = 25  # bouts a set of self-adhesive pads lasts; common practice, no source
PHONE_KEEPS_DAYS = 400  # [days] that a phone keeps what the clinic has; static/patient/store
PADS_WARN = 5  # uses ahead: new pads take days to come; common practice, no source

# --- what flags look at besides a clinic's thresholds; common practice, no source ------
RECENT_DAYS = 7  # [days] that over-use and a current above the ceiling stay in view
USUAL_BOUTS = 3  # [bouts] that make a usual to compare with
FLAT_SHARE = 0.05  # [share] a current that stays this close has not been turned

# --- run charts ------------------------------------------------------------------
RUN_POINTS_MIN = 12  # [points off the median] fewer are not judged; common practice, no source
# Random series that still show a sign, per 100: 20,000 series a length, own simulation.
RUN_FALSE_SIGNALS = (1.4, 6.9)  # least and most over 12 to 84 points

# --- screening -------------------------------------------------------------------
RESCREEN_PAUSE_DAYS = 14  # a pause this long asks for another; common practice, no source

# --- visits ----------------------------------------------------------------------
COUNTER_MAX = 99_999  # what a usage counter can show; hours or bouts

# --- notes -----------------------------------------------------------------------
NOTE_LATE_AFTER_DAYS = 1  # after the day a note is about; common practice, no source

# --- pairing ---------------------------------------------------------------------
CODE_ALPHABET = "BCDFGHJKLMNPQRSTVWXZ"  # consonants: no word can be spelled
CODE_LENGTH = 10
CODE_MINUTES = 10
TRIES_PER_ADDRESS = 20  # an hour
TRIES_IN_ALL = 200  # an hour; after that only links pair
PHONE_COOKIE_DAYS = 400


# --- the roster; common practice, no source ------------------------------------------
WORKING_WEEKDAYS = (0, 1, 2, 3, 4)  # Monday = 0; of who has set no week of their own

# --- reminders ---------------------------------------------------------------------
# A day, a week and the hours: the US rule for health messages, 47 CFR 64.1200
# (a)(9)(iv) and (c)(1), counted there per sender; from memory. The rest is common
# practice, no source.
REMINDERS_A_DAY = 1  # over all channels together
REMINDERS_A_WEEK = 3  # in any 7 days, over all channels together
REMINDERS_UNANSWERED = 3  # in a row; after that one a week
WEEK_DAYS = 7
REMINDER_WINDOW_H = 6  # [h] a reminder this late is dropped
QUIET_FROM_HOUR, QUIET_UNTIL_HOUR = 21, 8  # patient's zone
PREVIEW_DAYS = 14
REMINDER_TRIES = 3  # then it is given up; common practice, no source
REMINDER_EFFECT_H = 3  # [h] in which a log may have come of a reminder; ours, no source
REMINDER_EFFECT_DAYS = 90  # [days] that the effect is counted over; ours
REMINDER_MATCH_DAYS = 14  # [days] a like day may lie away; ours
STOPPED_SHARE_MOST = 0.05  # [share] of those reminded in 30 days; more makes a note; ours
STOPPED_DAYS = 30
STOPPED_LEAST = 5  # [patients] reminded; of fewer a share says nothing; ours
DIGEST_WEEKDAY = 0  # Monday, from 7 to noon on the clinic's wall
DIGEST_FROM_HOUR, DIGEST_UNTIL_HOUR = 7, 12
REMINDER_HISTORY_DAYS = 60  # looked back on for caps and answers; more than the rules reach
CALENDAR_WEEKS = 12  # how far a calendar file reaches while no end is set


@dataclass(frozen=True, slots=True)
class FlagRules:
    """Thresholds of the flags (common practice, no source; the clinic may edit)."""

    missed_in_a_row: int = 2  # due days
    missed_of_last: int = 3  # of `missed_window` due days
    missed_window: int = 7  # due days
    under_dose_share: float = 0.6  # of known-due contractions
    under_dose_days: int = 7
    under_dose_known_days: int = 3  # fewer say nothing about a week
    no_contact_h: int = 48
    pain_reports: int = 3  # `not_done` for pain that count as a wish for contact
    pain_window_days: int = 14
    skin_later_grade: int = 2  # at the next-morning or before check
    skin_any_grade: int = 3  # at any moment
    itch_in_a_row: int = 2  # skin checks
    pads_uses: int = PADS_USES  # bouts that a set of pads lasts
    pads_warn: int = PADS_WARN  # uses ahead of that
    worse_by: int = 2  # points of 10 above the usual; Farrar 2001 for pain
    worse_bouts: int = 2  # bouts
    worse_days: int = 7  # days that make the usual, and that a worse bout stays in view
    pain_any: int = 7  # knee pain after any bout
    over_use_bouts: int = 2  # beyond what a day asks, in a week
    over_ceiling_bouts: int = 1  # in a week
    limit_bouts: int = 3  # running at the stimulator's highest intensity
    review_bouts: int = 6  # running of low discomfort at a flat current
    review_discomfort: int = 3  # of 10, at most
    review_pain: int = 3  # of 10, at most
    effective_pct: int = 50  # evoked share of voluntary force from which a current is effective
    effective_days: int = 28  # that such a test speaks for
    below_bouts: int = 3  # running below that current
    test_after_days: int = 28  # of the program without a strength test
    window_days: int = 28  # how far back the rules look

    @classmethod
    def of_clinic(cls, edited: dict) -> "FlagRules":
        """The clinic's own thresholds over the defaults; what makes no sense is refused."""
        if unknown := set(edited) - set(FLAG_BOUNDS):
            raise ValueError(f"No such flag threshold: {', '.join(sorted(unknown))}.")
        for name, value in edited.items():
            _check_threshold(name, value)
        rules = cls(**edited)
        if faults := rules.contradictions():
            raise ValueError("; ".join(f"{name}: {why}" for name, why in faults.items()))
        return rules

    def contradictions(self) -> dict[str, str]:
        """Thresholds that cannot both hold: {field: sentence}."""
        found = {}
        if self.missed_of_last > self.missed_window:
            found["missed_of_last"] = "More days than the window holds."
        if self.under_dose_known_days > self.under_dose_days:
            found["under_dose_known_days"] = "More known days than days."
        if self.pads_warn >= self.pads_uses:
            found["pads_warn"] = "Fewer than a set lasts."
        return found


# Where a clinic may set each threshold. Skin may be watched more closely than by
# default, never less.
FLAG_BOUNDS = {
    "missed_in_a_row": (1, 7),
    "missed_of_last": (1, 14),
    "missed_window": (1, 28),
    "under_dose_share": (0.1, 1),
    "under_dose_days": (1, 28),
    "under_dose_known_days": (1, 28),
    "no_contact_h": (24, 336),
    "pain_reports": (1, 14),
    "pain_window_days": (1, 28),
    "skin_later_grade": (1, 2),
    "skin_any_grade": (1, 3),
    "itch_in_a_row": (1, 2),
    "pads_uses": (5, 60),
    "pads_warn": (1, 20),
    "worse_by": (1, 5),
    "worse_bouts": (1, 7),
    "worse_days": (3, 14),
    "pain_any": (4, 10),
    "over_use_bouts": (1, 14),
    "over_ceiling_bouts": (1, 14),
    "limit_bouts": (1, 14),
    "review_bouts": (3, 28),
    "review_discomfort": (1, 6),
    "review_pain": (1, 5),
    "effective_pct": (10, 100),
    "effective_days": (7, 28),
    "below_bouts": (1, 14),
    "test_after_days": (7, 84),
    "window_days": (14, 90),
}
SHARES = {"under_dose_share"}  # the rest are whole numbers


def _check_threshold(name: str, value: object) -> None:
    low, high = FLAG_BOUNDS[name]
    kind = int | float if name in SHARES else int
    if isinstance(value, bool) or not isinstance(value, kind) or not low <= value <= high:
        raise ValueError(f"{name} must be from {low} to {high}.")
