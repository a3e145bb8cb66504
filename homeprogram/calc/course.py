"""When a course may be reviewed for ending. It never says that one is done.

Common practice, no source: at least 12 weeks after knee surgery, usually 6 in
conservative care, until the limb symmetry index is at least 80 %. The clinic
can set its own values.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class CourseRules:
    """Least weeks by pathway, and the index from which a review may end a course."""

    weeks_post_operative: float = 12
    weeks_conservative: float = 6
    weeks_pre_operative: float = 6
    lsi_pct: float = 80

    def minimum_weeks(self, pathway: str) -> float:
        return getattr(self, f"weeks_{pathway}")


@dataclass(frozen=True)
class Unmet:
    """One condition that is not met yet, with a stable code and a sentence."""

    code: str
    message: str


@dataclass(frozen=True)
class CourseReview:
    """`may_review` is True when nothing is unmet; `unmet` names all that is."""

    may_review: bool
    unmet: tuple[Unmet, ...]

    @property
    def message(self) -> str:
        if self.may_review:
            return "The course may be reviewed for ending."
        return "Course not yet done: " + " ".join(item.message for item in self.unmet)


def course_review(
    *,
    pathway: str,
    weeks_since_start: float,
    weeks_since_surgery: float | None,
    lsi_pct: float | None,
    lsi_reliable: bool = True,
    rules: CourseRules = CourseRules(),
) -> CourseReview:
    """What is still missing before the course may be reviewed.

    After surgery the weeks count from surgery; on the other pathways, and
    where no date of surgery is known, from the start of the program.
    """
    unmet = (
        *_weeks_unmet(pathway, weeks_since_start, weeks_since_surgery, rules),
        *_lsi_unmet(lsi_pct, rules, reliable=lsi_reliable),
    )
    return CourseReview(not unmet, unmet)


def _weeks_unmet(
    pathway: str, since_start: float, since_surgery: float | None, rules: CourseRules
) -> tuple[Unmet, ...]:
    least = rules.minimum_weeks(pathway)
    if pathway == "post_operative" and since_surgery is not None:
        done, since = since_surgery, "surgery"
    else:
        done, since = since_start, "the start"
    if done >= least:
        return ()
    sentence = f"Only {done:g} of the usual {least:g} weeks since {since} are over."
    return (Unmet("weeks", sentence),)


def _lsi_unmet(lsi_pct: float | None, rules: CourseRules, *, reliable: bool) -> tuple[Unmet, ...]:
    if not reliable:
        sentence = (
            "The other limb is not sound: judge by Nm/kg and the limb's own baseline"
            " instead of the limb symmetry index."
        )
        return (Unmet("lsi_unreliable", sentence),)
    if lsi_pct is None:
        return (Unmet("lsi_missing", "No limb symmetry index is known."),)
    if lsi_pct < rules.lsi_pct:
        # One decimal, cut and not rounded: 79.96 % must not read as 80.0 %.
        shown = int(lsi_pct * 10) / 10
        sentence = f"LSI {shown:g} % is below {rules.lsi_pct:g} %."
        return (Unmet("lsi_low", sentence),)
    return ()
