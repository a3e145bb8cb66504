"""Every screen of the patient in every state, looked at once; and that a fault would be seen."""

import re
from pathlib import Path

import pytest

from tests.browser.canary import CANARY, KEYBOARD_CANARY
from tests.browser.keys import keyboard_faults
from tests.browser.look import KINDS, PATIENT, Listener, faults_of, look_at
from tests.browser.patient_tour import PatientTour
from tests.browser.patient_walks import walk
from tests.browser.walks_of_a_day import a_normal_bout

pytestmark = pytest.mark.browser
ROOT = Path(__file__).resolve().parents[2]
PASSES_ON = {"resume"}  # a screen's address that leads to the step a bout is at
PATIENTS_KINDS = [
    "smallTargets",
    "primary",
    "smallText",
    "doubled",
    "wide",
    "contrast",
    "forced colours",
]

# What axe leaves to a person, by rule, and why it holds. Grounds that it cannot tell: text
# that scrolls behind what sticks to an edge, legends on their frame, words in our pictures.
SETTLED = {
    "color-contrast": "worked out from the colours that are given: the kind 'contrast'",
    "color-contrast-enhanced": "the same, for the signs of less and more",
}


@pytest.fixture(scope="module")
def phones(screens, chromium_browser, long_run) -> PatientTour:
    tour = PatientTour(chromium_browser, screens.url, screens.told["codes"], deep=long_run)
    return walk(tour)


@pytest.fixture(scope="module")
def canary(chromium_browser):
    """A page with every fault, and what was heard while it was looked at."""
    context = chromium_browser.new_context(reduced_motion="reduce")
    listener = Listener(context, "http://127.0.0.1:8000")
    page = context.new_page()
    page.set_content(CANARY)
    look = look_at(page, "canary", PATIENT)
    page.evaluate("() => setTimeout(() => { throw new Error('failed on purpose'); })")
    page.wait_for_timeout(100)
    yield look, "\n".join(listener.faults)
    context.close()


@pytest.mark.parametrize("kind", KINDS + PATIENTS_KINDS)
def test_no_patients_screen_has_a_fault(phones, kind):
    assert faults_of(phones.looks, kind) == {}


def test_what_axe_cannot_decide_was_looked_at(phones):
    told = [fault for look in phones.looks for fault in look.faults["axe is unsure"]]

    assert {fault.split(":")[0] for fault in told} == SETTLED.keys()


@pytest.mark.parametrize("kind", KINDS + PATIENTS_KINDS)
def test_the_canary_shows_every_kind_of_fault(canary, kind):
    look, _ = canary

    assert look.faults[kind] != []


@pytest.mark.parametrize(
    "rule", ["color-contrast", "color-contrast-enhanced", "target-size", "label"]
)
def test_the_canary_breaks_the_rules_that_axe_leaves_out_by_default(canary, rule):
    look, _ = canary

    assert [fault for fault in look.faults["axe"] if fault.startswith(f"{rule}: ")] != []


def test_what_cannot_be_read_in_the_dark_alone_is_seen(canary):
    look, _ = canary
    gone = "Gone in the dark"

    assert any(gone in fault for fault in look.faults["in the dark"])
    assert not any(gone in fault for fault in look.faults["contrast"] + look.faults["axe"])


def test_a_control_whose_edge_is_faint_is_seen(canary):
    look, _ = canary
    edges = [fault for fault in look.faults["contrast"] if fault.startswith("the edge of")]

    assert edges == ['the edge of "Only its ground shows it" has 1.1:1']


@pytest.mark.parametrize("words", ["script-src", "asked elsewhere", "failed on purpose"])
def test_the_canary_is_heard(canary, words):
    _, heard = canary

    assert words in heard


def test_phones_break_no_policy_and_ask_nobody_else(phones):
    assert phones.faults == []


def test_tab_reaches_every_control_with_a_ring_that_shows(phones):
    walked = {name: faults for name, faults in phones.keyboard.items() if faults}

    assert walked == {}
    assert len(phones.keyboard) >= 8


def test_the_keyboard_canary_is_seen(chromium_browser):
    page = chromium_browser.new_page()
    page.set_content(KEYBOARD_CANARY)

    faults = keyboard_faults(page)
    page.close()

    assert sorted(faults) == ["covered: covered", "no ring: ringless", "not reached: skipped"]


def test_no_screen_of_the_patient_is_forgotten(phones):
    source = (ROOT / "static/patient/ui/screens.js").read_text()
    listed = re.search(r"const SCREENS = \{(.*?)\};", source, re.DOTALL).group(1)
    names = set(re.findall(r'"?([\w-]+)"?: \w+Screen', listed))

    assert len(names) >= 18
    assert names - PASSES_ON - phones.seen == set()


def test_a_normal_bout_is_logged_in_eight_taps(phones, capsys):
    taps = a_normal_bout(phones)

    with capsys.disabled():
        print(f"\nTaps: {taps['log']} to log a bout and its skin, {taps['all']} for all of it.")
    assert taps["log"] <= 8
    assert taps["all"] <= 12
