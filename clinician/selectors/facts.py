"""What an entry says, in words. A payload that does not fit its kind is shown as it came."""

from clinician.selectors.reasons import CHANGES, MOMENTS, SYMPTOMS
from clinician.selectors.words import listed, number, plural
from homeprogram.calc.skin import check_grade
from homeprogram.models import Entry

TITLES = {
    "bout": "Bout",
    "skin_check": "Skin check",
    "not_done": "Not done",
    "morning_check": "Morning check",
    "stop_report": "Stop report",
    "note_to_clinic": "Note to the clinic",
    "correction": "Correction of an entry not shown here",
    "withdrawal": "Withdrawal of an entry not shown here",
}
REASONS = {
    "pain": "pain",
    "swelling": "swelling",
    "skin": "skin",
    "ill": "ill",
    "stimulator": "the stimulator",
    "pads": "the pads",
    "no_time": "no time",
    "forgot": "forgot",
    "travel": "travel",
    "discomfort": "discomfort",
    "tired": "tired",
    "interrupted": "interrupted",
    "other": "another reason",
}
PAD_NEWS = {"new": "new pads", "wont_stick": "the pads do not stick"}
PADS = {
    "upper_outer": "upper outer pad",
    "lower_inner": "lower inner pad",
    "upper_inner": "upper inner pad",
    "lower_outer": "lower outer pad",
}


def title(entry: Entry) -> str:
    return TITLES[entry.kind]


def says(kind: str, payload: dict) -> list[str]:
    """Short lines, the most telling first."""
    writer = WRITERS.get(kind)
    if writer is None:
        return []
    try:
        return writer(payload)
    except (KeyError, TypeError):
        # A correction may have come before anyone knew what it corrects.
        return [f"as received: {payload}"]


def _bout(said: dict) -> list[str]:
    contractions = plural(said["contractions"], "contraction")
    lines = [
        f"{contractions} in {number(said['minutes'])} min, from {said['started_at'][11:16]}",
        f"discomfort {said['discomfort']} of 10",
        f"knee pain {said['knee_pain_before']} before, {said['knee_pain_after']} after, of 10",
    ]
    if said["intensity"]:
        told = [
            f"channel {i['channel']} {number(i['value'])} {i['unit']}" for i in said["intensity"]
        ]
        lines.append(listed(told))
    if said.get("ended_early"):
        lines.append(f"ended early: {REASONS[said['ended_early']]}")
    if said.get("note"):
        lines.append(f"“{said['note']}”")
    return lines


def _skin_check(said: dict) -> list[str]:
    grade = check_grade(said["pads"], said["moment"])
    moment = MOMENTS[said["moment"]]
    found = [(pad["pad"], _pad(pad["facts"])) for pad in said["pads"]]
    seen = [f"{PADS[pad]}: {words}" for pad, words in found if words]
    nothing = [f"nothing seen at {plural(len(found), 'pad')}"] if not seen else []
    return [f"grade {grade} of 4, {moment}", *seen, *nothing]


def _pad(facts: dict) -> str:
    """Empty when the skin is as the skin around it."""
    colour = {"same": "", "slight": "slight change of colour", "marked": "marked change of colour"}
    said = [colour[facts["colour"]], "patchy" if facts["pattern"] == "patchy" else ""]
    words = {
        "raised": "raised",
        "itchy": "itchy",
        "sore": "sore",
        "broken": "blister, burn or broken skin",
    }
    said += [word for fact, word in words.items() if facts[fact]]
    return ", ".join(filter(None, said))


def _not_done(said: dict) -> list[str]:
    return [f"bout {said['ordinal']} of the day: {REASONS[said['reason']]}"]


def _morning_check(said: dict) -> list[str]:
    return [f"swelling: {said['swelling']}", f"knee pain {said['knee_pain']} of 10"]


def _stop_report(said: dict) -> list[str]:
    return [listed([SYMPTOMS[symptom] for symptom in said["symptoms"]])]


def _note(said: dict) -> list[str]:
    asks = ["asks to be called"] if said["wants_contact"] else []
    told = [CHANGES[one] for one in said.get("changed", ())]
    asks += [f"something changed: {listed(told)}"] if told else []
    asks += [PAD_NEWS[said["pads"]]] if said.get("pads") else []
    return [*asks, f"“{said['text']}”"]


WRITERS = {
    "bout": _bout,
    "skin_check": _skin_check,
    "not_done": _not_done,
    "morning_check": _morning_check,
    "stop_report": _stop_report,
    "note_to_clinic": _note,
}
