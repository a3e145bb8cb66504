"""A signed note, a review and a discharge as the desk makes them."""


def make_note(patient, by, now, **changes):
    from clinician.selectors.note_draft import note_draft
    from clinician.services.signed_notes import note_sign

    fresh = note_draft(patient=patient, now=now)
    values = {
        "about_on": now.date(),
        "subjective": fresh.subjective,
        "objective": fresh.drawn.objective,
        "assessment": "Doing well.",
        "plan": "Carry on.",
    }
    return note_sign(patient=patient, by=by, now=now, drawn=fresh.drawn, **values | changes)


def make_review(patient, by, now, outcome="carry_on"):
    from clinician.selectors.review_page import review_page
    from clinician.services.reviews import review_finish

    patient.refresh_from_db()
    page = review_page(patient=patient, now=now)
    return review_finish(
        patient=patient,
        by=by,
        outcome=outcome,
        up_to=page.up_to,
        after=page.mark.review.id if page.mark.review else None,
        shown=page.shown,
        now=now,
    )


def make_discharge(episode, by, now, **changes):
    from clinician.selectors.discharge import ITEMS
    from clinician.services.discharges import episode_discharge

    values = {
        "reason": "Goal reached.",
        "items": dict.fromkeys(ITEMS, "not in this test"),
        "home_plan": "Stairs every day.",
    }
    return episode_discharge(episode=episode, by=by, now=now, **values | changes)
