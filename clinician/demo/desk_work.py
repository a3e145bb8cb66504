"""What the demo clinic wrote down of its own work: loans, contacts, a visit, an incident."""

from collections.abc import Sequence
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction

from clinician.demo.cast import CAST
from clinician.selectors.lending import own_stimulators
from clinician.services.contacts import contact_record
from clinician.services.incidents import incident_add, incident_close, incident_record
from clinician.services.lending import (
    loan_open,
    loan_return,
    stimulator_act,
    stimulator_own_add,
)
from clinician.services.visits import CounterSeen, visit_write
from homeprogram.calc.days import local_day
from homeprogram.selectors import record
from homeprogram.services.stimulators import stimulator_edit
from homeprogram.services.visits import BoutSeen

KIND = "Portable, high output"
YEAR = timedelta(days=365)
# Asset number: days since its last safety check.
OWN = {"KN-01": 60, "KN-02": 90, "KN-03": 120, "KN-04": 200, "KN-05": 390, "KN-06": 30, "KN-07": 30}
PADS = "leads, charger and 4 pads of 5 x 9 cm"


class DeskWork:
    """Everything at its moment, by the day's distance from today."""

    def __init__(self, *, clinicians: Sequence, now: datetime, zone: ZoneInfo) -> None:
        self.lead, self.other = clinicians[0], clinicians[-1]
        self.clinic, self.now, self.zone = self.lead.clinic, now, zone
        self.today = local_day(now, zone)
        names = {member.name: member.key for member in CAST}
        everybody = record.patients_of_clinic(clinic=self.clinic).select_related("clinic")
        self.patients = {names[one.name]: one for one in everybody}

    def at(self, days: int, hour: int = 11, minute: int = 0) -> datetime:
        day = self.today + timedelta(days=days)
        return datetime.combine(day, time(hour, minute), tzinfo=self.zone)

    @transaction.atomic
    def write(self) -> None:
        self._store()
        self._loans()
        self._contacts()
        self._visits()
        self._incident()

    def _own(self, asset_number: str):
        return own_stimulators(clinic=self.clinic).get(asset_number=asset_number)

    def _limb(self, key: str, place: int = 0):
        return record.episodes_of_patient(patient=self.patients[key])[place]

    def _store(self) -> None:
        kinds = record.stimulators_of_clinic(clinic=self.clinic)
        profile = next(one for one in kinds if one.name == KIND)
        profile = stimulator_edit(profile=profile, counter="hours")
        for asset_number, days in OWN.items():
            checked = self.today - timedelta(days=days)
            stimulator_own_add(
                clinic=self.clinic,
                by=self.lead,
                profile=profile,
                asset_number=asset_number,
                leads="two lead pairs",
                checked_on=checked,
                check_due_on=checked + YEAR,
                now=self.at(-days),
            )

    def _loans(self) -> None:
        for key, asset_number, since, due in (
            ("steady", "KN-01", -29, 55),
            ("skin_reaction", "KN-02", -17, 67),
            ("back_after_lift", "KN-03", -23, 40),
            ("near_end", "KN-04", -40, -2),
        ):
            loan_open(
                stimulator=self._own(asset_number),
                patient=self.patients[key],
                by=self.other,
                due_back_on=self.today + timedelta(days=due),
                went_with=PADS,
                now=self.at(since),
            )
        stimulator_act(
            stimulator=self._own("KN-06"),
            by=self.lead,
            act="quarantined",
            on=self.today - timedelta(days=6),
            note="Channel 2 cuts out when the plug is moved.",
            now=self.at(-6),
        )

        spare = loan_open(
            stimulator=self._own("KN-07"),
            patient=self.patients["two_limbs"],
            by=self.other,
            due_back_on=self.today,
            went_with=PADS,
            now=self.at(-21),
        )
        told = "Complete. She has one of her own now."
        loan_return(loan=spare, by=self.other, note=told, cleaned=True, now=self.at(-9))

    def _contact(self, key: str, at: datetime, **said: object) -> None:
        usual = {"way": "telephone", "direction": "out", "minutes": 5, "about": "review"}
        patient = self.patients[key]
        contact_record(patient=patient, by=self.other, at=at, now=at, **usual | said)

    def _contacts(self) -> None:
        self._contact(
            "fading", self.at(-2, 16), outcome="not_reached", about="bouts", minutes=1,
            note="No answer; will try tomorrow morning.",
        )  # fmt: skip
        self._contact(
            "stops_for_pain", self.at(-1, 9, 20), direction="in", outcome="call_back",
            about="pain", minutes=2, note="Rang the front desk: the knee hurts during bouts.",
        )  # fmt: skip
        self._contact(
            "steady", self.at(-15, 12, 10), way="message", minutes=3, about="appointment",
            note="Date of the next visit agreed.",
        )  # fmt: skip
        self._contact(
            "back_after_lift", self.at(-6, 10), about="skin", minutes=7,
            note="Skin calm with the pads in the new places.",
        )  # fmt: skip

    def _visits(self) -> None:
        episode, own = self._limb("steady"), self._own("KN-01")
        visit_write(
            episode=episode,
            by=self.other,
            kind="clinic",
            at=self.at(-28, 15),
            note="Stimulator handed out, counter read.",
            minutes=15,
            measures={"girth_cm": 46.5, "girth_other_cm": 49, "girth_at_cm": 10, "lag_deg": 10},
            counter=CounterSeen(profile=own.profile, own=own, value=212.5),
            now=self.at(-28, 15, 20),
        )
        visit_write(
            episode=episode,
            by=self.other,
            kind="clinic",
            at=self.at(-7, 14),
            note="Climbs stairs without the rail. Bouts feel easier; ceiling found anew.",
            minutes=40,
            measures={
                "knee_pain": 1,
                "flexion_deg": 124,
                "extension_deg": 0,
                "lag_deg": 4,
                "swelling": "trace",
                "girth_cm": 47.5,
                "girth_other_cm": 49,
                "girth_at_cm": 10,
            },
            bout=BoutSeen(
                stimulator=own.profile,
                started_at=self.at(-7, 14, 10),
                minutes=15,
                contractions=15,
                intensity=[
                    {"channel": 1, "start": 20, "floor": 38, "ceiling": 64},
                    {"channel": 2, "start": 22, "floor": 40, "ceiling": 66},
                ],
                contraction="moves_patella",
                discomfort=5,
                skin_before=0,
                skin_after=1,
                on_phone=True,
            ),
            counter=CounterSeen(profile=own.profile, own=own, value=221),
            now=self.at(-7, 14, 45),
        )

    def _incident(self) -> None:
        """The raised patch of who is back after a lift: recorded, looked into, closed."""
        own, seen = self._own("KN-03"), self.at(-13, 14, 50)
        incident = incident_record(
            patient=self.patients["back_after_lift"],
            by=self.lead,
            episode=self._limb("back_after_lift"),
            kind="burn",
            happened_at=self.at(-14, 19),
            near="during",
            place="at home, on the sofa",
            facts="Stinging under the upper outer pad from half of the bout on; she went on to "
            "its end. Next morning a raised red edge along one side of the pad.",
            harm="Raised red edge, 4 cm long, skin whole.",
            skin_grade=3,
            done="Bouts of this leg on hold. Pads kept in a bag.",
            stimulator=own,
            pads="self-adhesive, about 30 uses, outer edge lifted and dry",
            told_by="the patient, at the visit",
            who_was_told=f"{self.lead.name}, the same day, 15:10",
            now=seen,
        )
        incident_add(
            incident=incident,
            by=self.other,
            text="Output and leads checked: as they should be. The pads had outlived their uses.",
            who_was_told="The patient, by telephone",
            now=self.at(-11, 10),
        )
        incident_close(
            incident=incident,
            by=self.lead,
            reason="Healed, seen at the clinic. Cause most likely a lifted, dry pad; new pads, "
            "new places, and the count of uses explained.",
            now=self.at(-10, 11, 30),
        )
        stimulator_act(
            stimulator=own,
            by=self.lead,
            act="released",
            on=self.today - timedelta(days=10),
            note="Output and leads checked after the incident.",
            now=self.at(-10, 11, 40),
        )
