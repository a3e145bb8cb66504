"""What a guidance file must look like. Small on purpose: the standard library only.

A shape maps a field to the types it may have; a nested shape or a list of one
shape is checked in turn. The one clinical rule here: a limit that nobody has
read in its source may inform, never block.
"""

MARKS = ("read", "memory", "common practice")
LEVELS = ("within", "notice", "outside", "cannot_deliver")
WAVEFORMS = ("monophasic", "symmetric_biphasic", "asymmetric_biphasic", "burst_ac")

NUMBER = (int, float)
MAYBE = (int, float, type(None))
TEXT = (str,)
MAYBE_TEXT = (str, type(None))

SOURCE = {"text": TEXT, "doi": MAYBE_TEXT}
RANGE = {
    "figure": TEXT,
    "low": MAYBE,
    "high": MAYBE,
    "unit": TEXT,
    "source": SOURCE,
    "mark": MARKS,
    "means": TEXT,
}
FIGURES = (
    "frequency_hz",
    "phase_duration_us",
    "on_s",
    "off_s",
    "ramp_up_s",
    "ramp_down_s",
    "contractions_per_bout",
    "bout_min",
    "bouts_per_day",
    "days_per_week",
    "weeks",
    "knee_angle_deg",
    "electrode_cm2",
)
LENGTHS = ("contractions_per_bout", "bout_min")
FAMILY = {
    "code": TEXT,
    "name": TEXT,
    "kind": ("family", "reference"),
    "pathways": [TEXT],
    "procedures": [TEXT],
    **dict.fromkeys(FIGURES, MAYBE),
    "waveform": (*WAVEFORMS, None),
    "ramps_inside_on": (bool, type(None)),
    "position": MAYBE_TEXT,
    "source": SOURCE,
    "mark": MARKS,
    "marks": (dict,),
    "ranges": [RANGE],
    "disagreements": [TEXT],
    "notes": TEXT,
}
GENERAL_RANGE = {
    **RANGE,
    "code": TEXT,
    "pathways": [TEXT],
    "below": TEXT,
    "above": TEXT,
}
LIMIT = {
    "code": TEXT,
    "quantity": TEXT,
    "value": NUMBER,
    "unit": TEXT,
    "level": LEVELS,
    "source": SOURCE,
    "mark": MARKS,
    "means": TEXT,
}
CONDITION = {
    "code": TEXT,
    "name": TEXT,
    "question": TEXT,
    "grade": ("contraindication", "precaution", "may_proceed"),
    "override": ("none", "named_reason", "specialist_opinion"),
    "action": TEXT,
    "source": SOURCE,
    "mark": MARKS,
    "disagreement": TEXT,
}
METHOD = {
    "code": TEXT,
    "name": TEXT,
    "mdc_pct": NUMBER,
    "low": NUMBER,
    "high": NUMBER,
    "aliases": [TEXT],
    "source": SOURCE,
    "mark": MARKS,
    "means": TEXT,
}
FILES = {
    "families.json": {"schema": NUMBER, "families": [FAMILY]},
    "references.json": {"schema": NUMBER, "families": [FAMILY]},
    "ranges.json": {"schema": NUMBER, "ranges": [GENERAL_RANGE]},
    "limits.json": {"schema": NUMBER, "limits": [LIMIT]},
    "methods.json": {"schema": NUMBER, "methods": [METHOD]},
    "screening.json": {"schema": NUMBER, "conditions": [CONDITION]},
}


def check(name: str, document: dict) -> None:
    """Refuse a guidance file that is not what it should be, naming the place."""
    _check(document, FILES[name], name)
    for key, value in document.items():
        if key != "schema":
            _check_codes(value, f"{name}.{key}")
    for row in document.get("families", []):
        _check_family(row, f"{name}.{row['code']}")
    for row in document.get("limits", []):
        if row["mark"] == "memory" and row["level"] not in ("within", "notice"):
            raise ValueError(f"{name}.{row['code']}: a limit from memory may only inform")
    for row in document.get("conditions", []):
        if row["mark"] == "memory" and row["grade"] == "contraindication":
            raise ValueError(f"{name}.{row['code']}: a condition from memory may only inform")


def _check(value: object, shape: object, place: str) -> None:
    if isinstance(shape, dict):
        _check_fields(value, shape, place)
    elif isinstance(shape, list):
        _check_list(value, shape[0], place)
    elif all(isinstance(option, type) for option in shape):
        # bool is an int to Python, not to a clinician.
        if not isinstance(value, shape) or (isinstance(value, bool) and bool not in shape):
            raise ValueError(f"{place}: {value!r} is of the wrong type")
    elif value not in shape:
        raise ValueError(f"{place}: {value!r} is none of {shape}")


def _check_fields(value: object, shape: dict, place: str) -> None:
    if not isinstance(value, dict) or set(value) != set(shape):
        found = sorted(set(value) ^ set(shape)) if isinstance(value, dict) else value
        raise ValueError(f"{place}: missing or unknown: {found}")
    for field, inner in shape.items():
        _check(value[field], inner, f"{place}.{field}")


def _check_list(value: object, shape: object, place: str) -> None:
    _check(value, (list,), place)
    for index, item in enumerate(value):
        _check(item, shape, f"{place}[{index}]")


def _check_codes(rows: list[dict], place: str) -> None:
    codes = [row["code"] for row in rows]
    if len(codes) != len(set(codes)):
        raise ValueError(f"{place}: a code is used twice")


def _check_family(row: dict, place: str) -> None:
    unknown = set(row["marks"]) - set(row)
    if unknown or not set(row["marks"].values()) <= set(MARKS):
        raise ValueError(f"{place}.marks: {unknown or row['marks']}")
    if row["kind"] == "reference":
        return
    missing = [f for f in FIGURES if row[f] is None and f not in LENGTHS]
    if missing or (row["contractions_per_bout"] is None) == (row["bout_min"] is None):
        raise ValueError(f"{place}: a family states every figure, and one length: {missing}")
