"""What patient's app and desk are held to, row by row: a check each, or why there is none.

The bars are WCAG 2.2 (AA everywhere, AAA where a row says so), what is published about
older and hurt hands, and the conventions of installed web apps.
"""

import re
from pathlib import Path

import pytest

from tests.patterns import PATTERNS

TESTS = Path(__file__).resolve().parent

# bar: names of tests that check it, or one sentence that says why nothing does.
BARS: dict[str, list[str] | str] = {
    "no violation of axe on any screen in any state; in the dark with --long, contrast always": [
        "test_no_patients_screen_has_a_fault",
        "test_no_screen_of_the_patient_is_forgotten",
        "test_the_canary_shows_every_kind_of_fault",
        "test_the_canary_breaks_the_rules_that_axe_leaves_out_by_default",
        "test_what_cannot_be_read_in_the_dark_alone_is_seen",
    ],
    "controls of 48 px, the next step of 64 (2.5.5)": ["test_no_patients_screen_has_a_fault"],
    "nothing routine near what reports a stop; a near miss counts": [
        "test_nothing_routine_lies_close_to_what_reports_a_stop",
        "test_a_near_miss_of_the_next_step_still_counts",
    ],
    "contrast of 7:1 (1.4.6), 3:1 at edges (1.4.11)": [
        "test_no_patients_screen_has_a_fault",
        "test_a_control_whose_edge_is_faint_is_seen",
    ],
    "colour is never the only carrier (1.4.1)": [
        "every status has a shape and a word of its own",
    ],
    "a ring that shows, never covered (2.4.7, 2.4.12, 2.4.13)": [
        "test_tab_reaches_every_control_with_a_ring_that_shows",
        "test_the_keyboard_canary_is_seen",
    ],
    "reflow at 320 px (1.4.10), and at 412": [
        "test_no_patients_screen_has_a_fault",
        "test_a_bout_is_done_and_logged_by_taps_at_any_width",
    ],
    "text at 200 % with WCAG's spacing (1.4.4, 1.4.12)": [
        "test_no_patients_screen_has_a_fault",
        "test_a_bout_is_done_and_logged_by_taps_at_any_width",
    ],
    "body text of 18 px, none under 16": ["test_no_patients_screen_has_a_fault"],
    "the next step in the lower half; taps and keys alone": [
        "test_no_patients_screen_has_a_fault",
        "test_a_normal_bout_is_logged_in_eight_taps",
        "test_tab_reaches_every_control_with_a_ring_that_shows",
        "test_a_bout_is_done_and_logged_by_keyboard_alone",
    ],
    "acts on release; sliding off cancels (2.5.2)": [
        "test_a_finger_that_slides_off_a_button_presses_nothing",
    ],
    "faults in words, beside the field, reviewed before and corrected after (3.3.1-3.3.6)": [
        "test_the_list_of_faults_takes_the_focus_and_leads_to_each_field",
        "test_two_phones_may_correct_the_same_entry",
    ],
    "a summary on top takes the focus and leads to the fields": [
        "test_the_list_of_faults_takes_the_focus_and_leads_to_each_field",
    ],
    "a normal bout in few taps, no typing; safety is never answered beforehand": [
        "test_a_normal_bout_is_logged_in_eight_taps",
        "test_no_question_of_safety_is_answered_beforehand",
    ],
    "no puzzle, paste allowed, nothing asked twice (3.3.7-3.3.9)": [
        "test_a_code_typed_behind_a_gateway_pairs_nothing",
    ],
    "status is announced once and never per tick (4.1.3)": [
        "test_each_cue_is_spoken_once_and_heard_unless_switched_off",
        "test_a_save_is_told_once_and_asks_the_browser_to_keep_the_store",
    ],
    "no time limit loses work (2.2.1, 2.2.6)": [
        "test_an_entry_whose_page_is_left_at_once_is_stored_or_still_in_its_form",
        "test_a_form_outlives_an_update_that_another_tab_takes",
    ],
    "no motion where none is wanted (2.3.3)": ["test_no_patients_screen_has_a_fault"],
    "language and direction set; longer words and right to left (3.1.1)": [
        "test_longer_words_are_neither_cut_nor_push_the_screen_sideways",
        "test_from_right_to_left_nothing_is_cut_or_pushed_sideways",
        "test_no_word_is_from_outside_the_catalogue",
    ],
    "the clinic's number one tap away, offline too (3.2.6)": [
        "test_the_clinics_number_is_one_tap_away_everywhere_and_offline",
    ],
    "grade 5 or lower on each screen, 15 words a sentence (3.1.5)": [
        "test_every_screen_is_for_grade_five",
        "test_every_screen_reads_easily",
        "test_no_sentence_is_long",
        "test_a_long_word_is_an_everyday_one_or_explained",
    ],
    "three key points at most, three questions that teach and never block": [
        "a screen has at most three key points, each with words",
        "there are three questions, each with one right answer, not always in one place",
        "no per cent and no ratio is shown to a patient",
    ],
    "axe's incomplete items settled; forced colours": [
        "test_what_axe_cannot_decide_was_looked_at",
        "test_no_patients_screen_has_a_fault",
    ],
    "a screen reader": (
        "By hand: the script in DEVELOPERS.md; nobody has done it on a real phone yet."
    ),
    "installable; broken manifests are caught": [
        "test_the_app_is_installable",
        "test_a_manifest_that_cannot_be_installed_would_be_caught",
    ],
    "installing is taught in three steps; nothing depends on push": [
        "test_no_screen_of_the_patient_is_forgotten",
    ],
    "the browser is asked to keep the store": [
        "test_a_save_is_told_once_and_asks_the_browser_to_keep_the_store",
    ],
    "a full phone keeps the entry on the screen and says so": [
        "test_a_full_phone_says_not_saved_and_keeps_form_and_log",
        "test_a_full_phone_gives_up_its_reserve_before_it_refuses_a_note",
    ],
    "offline is normal, from a cold start": [
        "test_a_day_logged_without_a_server_reaches_the_panel_once",
    ],
    "where an entry is, from receipts only": [
        "test_a_gateways_page_confirms_nothing",
        "test_what_is_not_sent_is_listed_oldest_first_and_a_damaged_entry_breaks_no_screen",
    ],
    "no loss and no double, whatever comes between": [
        "test_no_kill_loses_doubles_or_falsely_confirms_an_entry",
        "test_nothing_is_lost_doubled_or_stuck_in_any_world",
    ],
    "syncs by itself without the browser's background sync": ["tests/js/pacer.test.js"],
    "an update waits for open forms; old apps are still understood": [
        "test_a_form_outlives_an_update_that_another_tab_takes",
        "test_an_old_app_goes_on_against_the_new_server_until_it_is_closed",
        "test_a_push_of_the_first_release_is_taken_with_every_item_named",
    ],
    "quick on a slow phone, light on a slow link": (
        "Measured, not asserted: python -m tests.benchmarks.phone and .lighthouse."
    ),
    "the count is right after any sleep, and a set clock is noted": [
        "test_the_cue_is_right_after_any_sleep",
        "test_a_wall_clock_that_is_set_moves_no_count_and_is_asked_about",
        "test_a_frozen_page_and_a_killed_app_count_on",
    ],
    "the screen is kept lit, taken again, or said to go dark": [
        "test_the_screen_is_kept_lit_again_and_a_refusal_is_told",
    ],
    "cues by text, sound and vibration, each switchable": [
        "test_each_cue_is_spoken_once_and_heard_unless_switched_off",
    ],
    "asks for no microphone, camera, place or motion": [
        "test_every_route_answers_with_every_header",
        "test_phones_break_no_policy_and_ask_nobody_else",
    ],
    "without its script the page leads to the clinic's words": [
        "test_a_page_whose_app_does_not_start_leads_to_the_entries",
    ],
    "a photo is nobody's duty: last, without place or date, believed by receipt, removable": [
        "test_a_photo_taken_offline_outlives_a_kill_and_goes_after_its_check",
        "test_a_photo_is_removed_here_and_at_the_clinic_by_two_taps",
        "an entry that is saved while a photo is on its way does not wait for it",
        "photos that cannot be read leave every round good",
    ],
    "desk: at most three clicks from the panel to a saved note": [
        "test_three_clicks_lead_from_the_panel_to_a_saved_note",
    ],
    "desk: a panel of forty in 15 minutes": (
        "Measured, not asserted: python -m tests.benchmarks.review, by the keystroke-level model."
    ),
    "desk: notes are drawn with their days and cut-off, signed, and never changed": [
        "test_the_objective_part_gives_its_days_and_its_cut_off",
        "test_the_subjective_part_is_the_patients_words_and_nothing_else",
        "test_a_note_says_who_signed_in_which_role_and_when_by_which_clock",
        "test_a_note_signed_after_the_day_after_is_late",
        "test_the_model_refuses",
        "test_the_database_refuses",
        "test_the_form_says_what_the_machine_drew_and_until_when",
    ],
    "desk: nothing that arrives during a review hides behind it": [
        "test_what_comes_between_the_page_and_the_review_stays_new",
        "test_an_entry_about_an_old_day_does_not_hide_behind_the_mark",
        "test_every_entry_is_shown_by_one_review_or_still_new",
        "test_history_shows_what_a_review_showed_then",
    ],
    "a reminder tells nothing of health, body, trade, names or numbers": [
        "test_no_reminder_tells_what_it_is_about",
        "test_the_list_finds_what_tells",
        "test_no_reminder_has_room_for_a_name",
        "test_no_byte_on_the_way_tells_of_the_patient",
    ],
    "reminders end with one action, in the app or on the notice, without a network too": [
        "test_a_patient_turns_reminders_on_gets_one_and_turns_them_off",
        "test_the_notice_itself_ends_reminders_of_every_way",
        "turned off without a network the browser forgets it at once, the clinic later",
        "test_one_that_was_turned_off_rings_no_more",
    ],
    "the browser asks only after our own words; offered once, then not for a month": [
        "test_a_phone_that_says_no_is_never_asked_and_hears_how_to_change_it",
        "it is offered after three bouts, once, and after a no not for a month",
    ],
    "push lasts as long as its window, under one topic, urgency normal (RFC 8030)": [
        "test_it_says_how_long_what_for_and_how_pressing",
        "test_a_newer_reminder_has_the_topic_of_the_one_that_waits",
        "test_past_its_window_nothing_is_sent",
    ],
    "every answer of a push service has its meaning; Retry-After in both forms": [
        "test_what_a_service_took_is_sent",
        "test_what_a_service_does_not_know_is_gone",
        "test_what_is_our_own_fault_fails_and_is_told_to_the_operator",
        "test_a_busy_service_is_asked_again_when_it_says",
        "test_a_busy_service_may_name_a_date",
        "test_a_subscription_that_is_gone_ends_with_the_reminder_that_found_it",
    ],
    "push is one record of one size that holds an id and which words (RFC 8188, 8291)": [
        "test_the_message_of_rfc_8291_is_made_byte_for_byte",
        "test_every_message_is_of_one_size",
        "test_a_phone_reads_the_id_which_words_and_nothing_else",
    ],
    "push is signed for its service alone; another key counts at once (RFC 8292)": [
        "test_the_token_of_rfc_8292_verifies",
        "test_the_sender_is_named_as_rfc_8292_says",
        "test_another_key_pair_signs_at_once",
        "another key of the clinic asks for another subscription",
    ],
    "no address that a phone names leads inside (server-side request forgery)": [
        "test_any_other_address_is_refused",
        "test_no_address_of_a_special_block_is_public_in_any_of_its_forms",
        "test_a_name_that_stands_for_an_inner_address_is_not_called",
        "test_the_address_that_was_looked_at_is_the_one_that_is_called",
        "test_a_redirect_is_not_followed",
        "test_an_answer_that_drips_gets_no_more_time",
    ],
    "desk: few new cards: 0.4 a patient-week at 80 % of bouts done, 0.10 at 90 %": [
        "test_missed_days_bury_nobody",
        "test_few_openings_tell_nothing_new",
        "test_whoever_stops_is_shown_within_three_due_days",
    ],
    "desk: a skin reaction of any kind is on top within a minute, and none is ever lost": [
        "test_a_skin_reaction_stands_on_top_as_soon_as_its_push_is_answered",
        "test_every_skin_reaction_stands_on_top_as_it_arrives",
        "test_no_safety_card_is_lost_or_outranked_in_any_history",
    ],
    "desk: the panel's order is total, the same for everybody, and said in one line": [
        "test_the_order_does_not_depend_on_how_rows_arrive",
        "test_any_two_patients_have_an_order",
        "test_nobody_with_a_safety_flag_stands_below_one_without",
        "test_the_order_is_explained_on_the_page",
    ],
    "desk: missed is said only of a day that is over, was due and was heard of": [
        "test_missed_is_said_only_of_a_closed_due_empty_day_that_was_heard_of",
        "test_a_day_nobody_has_heard_of_is_not_missed",
        "test_an_entry_filled_in_later_is_marked",
    ],
    "desk: how old what is shown is, in words": [
        "test_a_row_tells_the_patients_week",
        "test_a_clinic_of_which_no_phone_was_heard_for_a_day_is_told",
    ],
    "desk: panel and patient page ask the same number of questions of any clinic": [
        "test_three_times_the_patients_ask_no_more",
        "test_a_longer_history_asks_no_more",
        "test_a_year_costs_the_questions_of_a_month_with_something_in_every_section",
    ],
    "desk: charts on one scale, gaps as gaps, with the same numbers in words and a table": [
        "test_drawn_tabled_exported_and_told_are_the_same_numbers",
        "test_gaps_stay_gaps_and_every_chart_has_one_scale",
        "test_a_table_opens_and_scrolls_by_keyboard",
    ],
    "desk: run charts by the published limits, silent under twelve points, false signals stated": [
        "test_the_limits_are_those_of_the_published_rule",
        "test_fewer_than_twelve_points_are_never_judged",
        "test_chance_alone_shows_a_sign_as_seldom_as_the_page_says",
    ],
    "desk: what is done to many at once shows names first, can be undone, leaves a row each": [
        "test_names_and_count_are_shown_before_anything_happens",
        "test_patients_go_to_the_colleague_and_each_leaves_a_row",
        "test_it_can_be_undone_for_ten_minutes",
    ],
    "desk: one card per patient, limb and reason; repeats are counted": [
        "test_an_open_card_counts_the_newer_fact",
        "test_each_limb_has_its_own_card",
        "test_a_closed_card_opens_on_a_newer_fact",
    ],
    "desk: a safety flag stays until somebody closes it with a reason, and goes on meanwhile": [
        "test_a_safety_card_never_clears_itself",
        "test_a_safety_card_needs_a_reason_and_an_outcome",
        "test_what_arrived_while_somebody_looked_is_not_closed_with_the_rest",
        "test_of_two_who_close_at_once_one_does_and_the_other_hears_who",
        "test_somebody_who_works_here_is_always_asked_and_nobody_twice",
        "test_it_never_goes_back_a_step_and_nobody_drops_out_within_a_day",
    ],
    "desk: what came of each rule's flags; one rarely acted on is proposed for a change": [
        "test_each_closing_of_a_card_that_opens_anew_is_kept",
        "test_the_page_of_outcomes_counts_every_closing",
        "test_a_rule_that_is_rarely_acted_on_is_proposed",
    ],
    "desk: a flag shows rule, version, limits, inputs and blind spot; one click to its entries": [
        "test_a_flag_says_its_rule_version_limits_inputs_and_what_it_cannot_see",
        "test_one_click_leads_from_the_flag_to_the_entry_behind_it",
    ],
    "desk: a record for other systems that keeps to FHIR R4 and says what the desk says": [
        "test_every_resource_fits_the_standards_models",
        "test_read_and_written_again_it_is_the_same_document",
        "test_codes_are_of_the_standards_lists_and_references_lead_to_what_they_may",
        "test_every_unit_is_ucum",
        "test_a_bout_has_the_figures_of_the_table_of_entries",
        "test_months_add_up_to_the_desks_own_numbers_and_cost_no_more_questions",
        "test_of_a_corrected_bout_only_the_value_that_counts_is_there",
        "test_another_clinics_clinician_gets_404",
    ],
    "desk: thresholds per patient, with what they would have raised in 28 days": [
        "test_a_replay_finds_the_cards_that_the_days_themselves_raised",
        "test_one_patient_is_tried_without_a_reason",
        "test_skin_is_never_watched_less_closely_than_by_default",
    ],
}


def _sources() -> str:
    files = [*TESTS.rglob("test_*.py"), *(TESTS / "js").glob("*.test.js")]
    return "\n".join(path.read_text() for path in files if path != Path(__file__))


def _is_there(name: str, sources: str) -> bool:
    if "/" in name:
        return (TESTS.parent / name).exists()
    whole = re.escape(name)
    return bool(re.search(rf"def {whole}\(|test\([\"`]{whole}[\"`]", sources))


ALL = BARS | {f"W3C's pattern: {name}": held for name, held in PATTERNS.items()}


@pytest.mark.parametrize("bar", ALL)
def test_every_bar_has_a_check_or_a_reason(bar):
    held = ALL[bar]
    if isinstance(held, str):
        assert len(held.split()) > 5
        return
    sources = _sources()
    missing = [name for name in held if not _is_there(name, sources)]

    assert held
    assert missing == []
