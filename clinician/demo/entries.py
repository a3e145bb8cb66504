"""What a patient's thumb puts into the phone: bouts, skin checks, mornings, "not done"."""

from collections.abc import Mapping
from datetime import datetime, time

from clinician.demo.case import Case
from clinician.demo.diary import SAME, LivedBout, LivedDay


def bout_end(bout: LivedBout) -> time:
    """Logged once all is put away."""
    return bout.at.replace(minute=bout.at.minute + 20)


def say(case: Case, kind: str, payload: Mapping, at: datetime, limb: str, **by: Mapping) -> str:
    """One entry for a limb, under the revision the phone follows that day."""
    revision = case.phone.revision(limb, at.date())
    return case.phone.save(
        kind,
        payload,
        at=at,
        limb=limb,
        revision_id=revision["id"] if revision else None,
        **by,
    )


def say_morning(case: Case, day: LivedDay, at: datetime) -> None:
    """Swelling, pain and skin of each limb that has had pads on."""
    for care in case.member.cares:
        said = {"swelling": day.swelling, "knee_pain": day.knee_pain}
        say(case, "morning_check", said, at, care.limb)
        if revision := case.phone.revision(care.limb, at.date()):
            check = skin_check(revision, "next_morning", day.morning_skin)
            say(case, "skin_check", check, at, care.limb)


def say_new_pads(case: Case, at: datetime, limb: str) -> None:
    told = {"text": "New pads today.", "wants_contact": False, "pads": "new"}
    say(case, "note_to_clinic", told, at, limb)


def say_bout(case: Case, bout: LivedBout, at: datetime) -> None:
    """Skin before, the bout, skin after: as the phone asks for them."""
    revision = case.phone.revision(bout.limb, at.date())
    if revision is None:
        return  # the phone has not heard of a program yet
    started = datetime.combine(at.date(), bout.at, tzinfo=at.tzinfo)
    before = skin_check(revision, "before", SAME)
    say(case, "skin_check", before, started, bout.limb)
    bout.payload = _bout_payload(bout, revision, started)
    by = {"who": "helper", "name": bout.helper} if bout.helper else {"who": "patient"}
    bout.entry_id = say(case, "bout", bout.payload, at, bout.limb, logged_by=by)
    after = skin_check(revision, "after", bout.skin_after, bout.entry_id)
    say(case, "skin_check", after, at, bout.limb)


def skin_check(revision: dict, moment: str, facts: Mapping, bout_id: str | None = None) -> dict:
    """`facts` are of the first pad; the others look like the skin around them."""
    first, *others = revision["pads"]
    pads = [{"pad": first, "facts": dict(facts)}]
    pads += [{"pad": pad, "facts": dict(SAME)} for pad in others]
    return {"bout_id": bout_id, "moment": moment, "pads": pads}


def _bout_payload(bout: LivedBout, revision: dict, started: datetime) -> dict:
    payload = {
        "started_at": started.strftime("%Y-%m-%dT%H:%M"),
        "ended_early": bout.ended_early,
        "minutes": round(revision["bout_min"] * bout.share),
        "contractions": round(revision["contractions_per_bout"] * bout.share),
        "intensity": [_channel(one, bout.effort, revision) for one in revision["intensity"]],
        "exercises": [one["code"] for one in revision["exercises"]],
        "discomfort": bout.discomfort,
        "knee_pain_before": bout.pain_before,
        "knee_pain_after": bout.pain_after,
    }
    return payload | ({"note": bout.note} if bout.note else {})


def _channel(limit: dict, effort: float, revision: dict) -> dict:
    value = limit["start"] + effort * (limit["ceiling"] - limit["start"])
    return {"channel": limit["channel"], "value": round(value), "unit": revision["unit"]}
