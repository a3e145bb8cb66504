import json
from pathlib import Path

import pytest

from homeprogram.calc import electrode

ROOT = Path(__file__).resolve().parents[2]
PUBLISHED = json.loads((ROOT / "fixtures/calc/published.json").read_text("utf-8"))
CASES = PUBLISHED["pads"]
AREAS = {
    "rectangle": electrode.rectangle_cm2,
    "round": electrode.round_cm2,
    "inches": lambda *sides: electrode.rectangle_cm2(*map(electrode.inches_to_cm, sides)),
}


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_area_of_a_pad_in_print(case):
    area = AREAS[case["shape"]](*case["size_cm"])

    assert area == pytest.approx(case["expected"], abs=0.01)
