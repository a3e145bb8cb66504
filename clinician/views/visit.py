"""Visits: write one down, correct one by a new version."""

from datetime import date

from django.http import HttpResponse

from clinician.forms.visit import CHANNELS, LEVELS, VisitForm
from clinician.selectors.lending import open_loans
from clinician.selectors.visits import girth_place
from clinician.services.visits import CounterSeen, visit_write
from clinician.views.base import DeskForm
from homeprogram.calc.days import zone_or_utc
from homeprogram.selectors import record
from homeprogram.selectors.visits import visit_of_clinic
from homeprogram.services.visits import BoutSeen


class _VisitPage(DeskForm):
    template_name = "clinician/visit_form.html"
    form_class = VisitForm
    visit = None

    def load(self) -> None:
        """What the form offers: limbs, kinds of stimulator, and whose counter can be read."""
        self.zone = zone_or_utc(self.patient.zone)
        self.episodes = {str(e.id): e for e in record.episodes_of_patient(patient=self.patient)}
        profiles = record.stimulators_of_clinic(clinic=self.clinic)
        self.stimulators = {str(one.id): one for one in profiles}
        loans = open_loans(patient=self.patient)
        self.own = {f"own-{loan.stimulator_id}": loan.stimulator for loan in loans}

    def get_form_kwargs(self) -> dict:
        counters = [
            (key, f"{one.asset_number}, in {one.profile.counter}")
            for key, one in self.own.items()
            if one.profile.counter
        ]
        counters += [
            (key, f"their own: {one.name}, in {one.counter}")
            for key, one in self.stimulators.items()
            if one.counter
        ]
        return super().get_form_kwargs() | {
            "episodes": [(key, f"{e.limb.upper()} leg") for key, e in self.episodes.items()],
            "stimulators": self.stimulators,
            "counters": counters,
            "zone": self.zone,
        }

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.patient, visit=self.visit, **kwargs)

    def act(self, form: VisitForm) -> HttpResponse:
        said, bout = form.cleaned_data, form.bout()
        visit_write(
            episode=self.episodes[said["episode"]],
            by=self.clinician,
            kind=said["kind"],
            at=said["moment"],
            note=said["note"],
            minutes=said["minutes"],
            measures=form.measures(),
            bout=BoutSeen(**bout) if bout else None,
            counter=self.counter(said),
            replaces=self.visit,
            now=self.now,
        )
        return self.to_patient(self.patient.id, "visits")

    def counter(self, said: dict) -> CounterSeen | None:
        if not said["counter_of"]:
            return None
        own = self.own.get(said["counter_of"])
        profile = own.profile if own else self.stimulators[said["counter_of"]]
        return CounterSeen(profile=profile, value=said["counter"], own=own)


class VisitAddView(_VisitPage):
    said = "Visit recorded. It stands in the contact log too."

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])
        self.load()

    def get_initial(self) -> dict:
        local = self.now.astimezone(self.zone)
        open_ones = [key for key, e in self.episodes.items() if e.ended_on is None]
        only = {"episode": open_ones[0]} if len(open_ones) == 1 else {}
        where = girth_place(patient=self.patient)
        return {"kind": "clinic", "on": local.date(), "at": local.time()} | only | where


class VisitCorrectView(_VisitPage):
    said = "Corrected. The version before is kept."

    def find(self) -> None:
        self.visit = self.found(
            visit_of_clinic(clinic=self.clinic, visit_id=self.kwargs["visit_id"])
        )
        self.patient = self.visit.episode.patient
        self.load()

    def get_initial(self) -> dict:
        visit, contact = self.visit, self.visit.contact
        on: date = visit.on
        return {
            "kind": visit.kind,
            "episode": str(visit.episode_id),
            "on": on,
            "at": contact.at.astimezone(self.zone).time(),
            "minutes": contact.minutes,
            "note": visit.note,
            **visit.measures,
            **self._bout(),
            **self._counter(),
        }

    def _bout(self) -> dict:
        bout = getattr(self.visit, "bout", None)
        if bout is None:
            return {}
        same = ("contractions", "contraction", "discomfort", "skin_before", "skin_after")
        levels = {
            f"{level}_{one['channel']}": one[level]
            for one in bout.intensity
            if one["channel"] in CHANNELS
            for level in LEVELS
        }
        return (
            levels
            | {name: getattr(bout, name) for name in (*same, "on_phone")}
            | {
                "bout_stimulator": str(bout.stimulator_id),
                "started": bout.started_at.astimezone(self.zone).time(),
                "bout_min": bout.minutes,
            }
        )

    def load(self) -> None:
        """Also the one whose counter was read then, though it is back since."""
        super().load()
        self.reading = getattr(self.visit, "reading", None)
        if self.reading and self.reading.stimulator:
            self.own[f"own-{self.reading.stimulator_id}"] = self.reading.stimulator

    def _counter(self) -> dict:
        if self.reading is None:
            return {}
        own = f"own-{self.reading.stimulator_id}"
        key = own if self.reading.stimulator else str(self.reading.profile_id)
        return {"counter": self.reading.value, "counter_of": key}
