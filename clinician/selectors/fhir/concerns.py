"""Flags as DetectedIssue, holds as Flag (a Flag of FHIR stands until somebody ends it)."""

from collections.abc import Iterator

from clinician.selectors.cards import HOLD_REASONS
from clinician.selectors.fhir.rows import Rows
from clinician.selectors.fhir.values import Part, concept, moment, resource, text, told
from clinician.selectors.reasons import in_words, name
from homeprogram.models import Flag, FlagOutcome, FlagState, Hold

SAFETY = {
    "system": "http://terminology.hl7.org/CodeSystem/flag-category",
    "code": "safety",
    "display": "Safety",
}


def detected_issues(rows: Rows) -> Iterator[Part]:
    for flag in sorted(rows.context.flags, key=lambda one: (one.opened_at, one.id)):
        wrong = flag.outcome == FlagOutcome.WRONG and flag.state == FlagState.CLOSED
        yield resource(
            "DetectedIssue",
            flag.id,
            status="entered-in-error" if wrong else "final",
            code=_code(rows, flag),
            # Only what is about safety is ranked here; the rest is for the clinic to weigh.
            severity="high" if flag.safety else None,
            patient=rows.subject,
            identifiedDateTime=moment(flag.opened_at),
            evidence=_evidence(rows, flag),
            detail=text(in_words(flag)),
            mitigation=_mitigation(rows, flag),
        )


def _code(rows: Rows, flag: Flag) -> Part:
    code, episode = (
        concept("flag", flag.reason, name(flag.reason)),
        rows.episodes.get(flag.episode_id),
    )
    if episode:
        code["text"] = f"{code['text']}, {episode.limb} leg"
    return code


def _evidence(rows: Rows, flag: Flag) -> list[Part]:
    """The entries it rests on, as far as they are in the log by themselves."""
    found = [rows.entry_ref(str(one)) for one in flag.basis.get("entries", [])]
    return [{"detail": [one]} for one in found if one]


def _mitigation(rows: Rows, flag: Flag) -> list[Part]:
    if flag.state == FlagState.OPEN:
        return []
    if flag.state == FlagState.CLEARED:
        action = concept("outcome", "cleared", "cleared by itself: the rule no longer holds")
    else:
        outcome = flag.get_outcome_display() or "closed"
        action = concept("outcome", flag.outcome or "closed", outcome)
        action["text"] = text(f"{action['text']}: {flag.close_reason}")
    return [
        told(action=action, date=moment(flag.closed_at), author=rows.who(flag.closed_by_id)),
    ]


def holds(rows: Rows) -> Iterator[Part]:
    """Lifted ones too, as inactive."""
    for hold in rows.context.holds:
        yield resource(
            "Flag",
            hold.id,
            status="inactive" if hold.lift else "active",
            category=[{"coding": [SAFETY]}],
            code=_hold(rows, hold),
            subject=rows.subject,
            period=told(
                start=moment(hold.placed_at), end=moment(hold.lift.lifted_at if hold.lift else None)
            ),
        )


def _hold(rows: Rows, hold: Hold) -> Part:
    grade = hold.reason.removeprefix("skin_grade_")
    words = f"skin check, grade {grade} of 4" if grade.isdigit() else HOLD_REASONS[hold.reason]
    code = concept("hold", hold.reason, words)
    episode = rows.episodes.get(hold.episode_id)
    stopped = f"on the {episode.limb} leg" if hold.scope == "limb" else "on either leg"
    code["text"] = f"Hold, no bout {stopped}: {words}"
    return code
