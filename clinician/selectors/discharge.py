"""What has to be seen to before an episode ends, and what its letter says."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from clinician.models import Discharge, ReminderSetting
from clinician.selectors.dose_words import dose_in_short, intensity_words
from clinician.selectors.lending import open_loans
from clinician.selectors.limb_span import limb_lines
from clinician.selectors.strength_page import course_facts, strength_cards
from clinician.selectors.strength_words import in_short
from clinician.selectors.words import day_long, listed, plural
from homeprogram.calc.course import course_review
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.readings import readings
from homeprogram.calc.strength_check import course_rules
from homeprogram.models import Clinic, Episode, Phone, PhoneState, Revision
from homeprogram.selectors.log import entries_told_of, logged
from homeprogram.selectors.plans import context_of
from homeprogram.selectors.strength_tests import strength_tests_of_episode

ITEMS = {
    "measures": "Final measures",
    "home_plan": "Plan for home",
    "stimulator": "Stimulator back",
    "reminders": "Reminders off",
    "phone": "Phone unpaired",
    "letter": "Letter to the referrer",
}
# Carried out with the end, when they are ticked as done.
BY_THE_DESK = {
    "reminders": "They are switched off with this.",
    "phone": "It is unpaired with this; what it still holds is kept when it comes.",
}


@dataclass(frozen=True, slots=True)
class Item:
    code: str
    name: str
    fact: str
    by_the_desk: str


def discharge_items(*, episode: Episode) -> list[Item]:
    facts = {
        "measures": _measured(episode),
        "home_plan": "It is written below.",
        "stimulator": _lent(episode),
        "reminders": _reminded(episode),
        "phone": _paired(episode),
        "letter": "It can be printed once the episode has ended.",
    }
    return [
        Item(code, name, facts.get(code, ""), BY_THE_DESK.get(code, ""))
        for code, name in ITEMS.items()
    ]


def _measured(episode: Episode) -> str:
    cards = strength_cards(strength_tests_of_episode(episode=episode))
    return f"Last test {cards[-1].day}: {in_short(cards[-1])}." if cards else "No test yet."


def _lent(episode: Episode) -> str:
    loans = open_loans(patient=episode.patient)
    if not loans:
        return "Nothing is lent out."
    return f"Still lent: {listed([loan.stimulator.asset_number for loan in loans])}."


def _reminded(episode: Episode) -> str:
    on = ReminderSetting.objects.filter(patient=episode.patient, on=True).exists()
    return "Reminders are on." if on else "No reminders are on."


def _paired(episode: Episode) -> str:
    phones = phones_paired(episode)
    return f"{plural(phones, 'phone')} paired." if phones else "No phone is paired."


def phones_paired(episode: Episode) -> int:
    return Phone.objects.filter(patient=episode.patient_id, state=PhoneState.ACTIVE).count()


def others_open(episode: Episode) -> bool:
    """Another limb goes on: its phone and reminders stay."""
    others = Episode.objects.filter(patient=episode.patient_id, ended_on=None)
    return others.exclude(id=episode.id).exists()


def unmet(*, episode: Episode, now: datetime) -> list[str]:
    """The clinic's conditions for ending a course that do not hold, as sentences."""
    today = local_day(now, zone_or_utc(episode.patient.zone))
    tests = [t for t in strength_tests_of_episode(episode=episode) if t.result]
    newest = tests[-1] if tests else None
    facts = course_facts(episode=episode).at(today)
    found = course_review(
        **facts,
        lsi_pct=newest.result.get("lsi_pct") if newest else None,
        lsi_reliable=newest is None or newest.request.get("other_limb") == "sound",
        rules=course_rules(episode.patient.clinic.course),
    )
    return [one.message for one in found.unmet]


def letter_of(*, episode: Episode, now: datetime) -> dict:
    """Plain figures of the whole episode, kept with the discharge."""
    patient = episode.patient
    zone = zone_or_utc(patient.zone)
    days = (now.date() - episode.starts_on).days + 1
    context = context_of(patient=patient, now=now, days_back=days)
    own = next(one for one in context.episodes if one.id == episode.id)
    entries = entries_told_of(patient=patient, since=episode.starts_on)
    told = readings(map(logged, entries))
    lines = limb_lines(context, own, told, episode.starts_on, local_day(now, zone))
    cards = strength_cards(strength_tests_of_episode(episode=episode))
    revisions = context.program_revisions(own)
    return {
        "from": day_long(episode.starts_on),
        "about": _about(episode),
        "revisions": len(revisions),
        "dose": _dose(revisions[-1]) if revisions else "",
        "lines": lines,
        "strength": [f"{card.day}: {in_short(card)}" for card in [*cards[:1], *cards[1:][-1:]]],
    }


def _about(episode: Episode) -> str:
    """Why the thigh was stimulated, as whoever reads the letter names it."""
    operated = f"surgery {day_long(episode.surgery_on)}" if episode.surgery_on else ""
    parts = (episode.procedure or episode.get_pathway_display(), operated)
    return ", ".join(part for part in parts if part)


def _dose(revision: Revision) -> str:
    return f"{dose_in_short(revision)}. Intensity: {intensity_words(revision)}"


def discharge_of_clinic(*, clinic: Clinic, discharge_id: UUID) -> Discharge | None:
    rows = Discharge.objects.filter(clinic=clinic, id=discharge_id)
    return rows.select_related("patient", "episode", "discharged_by").first()
