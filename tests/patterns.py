"""W3C's patterns for people who find reading, remembering or attending hard, one by one.

"Making Content Usable for People with Cognitive and Learning Disabilities", W3C Working Group
Note of 29 April 2021, part 4; its patterns in our words, by objective, listed from memory. To each
the tests that hold it, or one sentence why there is none.
"""

PATTERNS: dict[str, list[str] | str] = {
    # 1 What things are
    "the purpose of each page is plain": ["test_no_screen_of_the_patient_is_forgotten"],
    "a familiar order of parts": ["test_the_clinics_number_is_one_tap_away_everywhere_and_offline"],
    "one consistent look": (
        "By eye: every screen is drawn into one frame, ui/frame.js, from one sheet of styles."
    ),
    "each step is clear": ["test_a_normal_bout_is_logged_in_eight_taps"],
    "controls look like controls, also where the system gives the colours": [
        "test_no_patients_screen_has_a_fault",
        "test_the_canary_shows_every_kind_of_fault",
    ],
    "a control lies by what it changes": [
        "test_a_slip_is_named_and_its_button_puts_it_right",
        "test_what_was_skipped_and_ended_early_arrives_in_the_log",
    ],
    "icons help and never stand alone": ["every status has a shape and a word of its own"],
    # 2 Finding things
    "the most important task is easy to find": ["test_a_normal_bout_is_logged_in_eight_taps"],
    "the areas are few and plain": ["test_every_screen_is_for_grade_five"],
    "a clear structure of headings and regions": ["test_no_patients_screen_has_a_fault"],
    "the next step stands out": ["test_no_patients_screen_has_a_fault"],
    "media in small parts": "Not applicable: the app has no film and no sound but a cue.",
    "search": "Not applicable: three areas and a list of days are less than one would search in.",
    # 3 Clear content
    "clear words": [
        "test_a_long_word_is_an_everyday_one_or_explained",
        "test_every_screen_reads_easily",
    ],
    "simple tense and voice": (
        "By eye when a word is added: no program tells tense and voice apart in two languages."
    ),
    "no double negatives, no nested clauses": ["test_no_sentence_is_long"],
    "literal language": "By eye: the catalogues hold no figure of speech that we know of.",
    "short text": [
        "a screen has at most three key points, each with words",
        "test_no_sentence_is_long",
    ],
    "unambiguous punctuation and dates": ["a day is said in full"],
    "the signs that a language needs": ["test_no_word_is_from_outside_the_catalogue"],
    "a summary of what is long": "Not applicable: the longest text is a page of the lesson.",
    "one instruction at a time": [
        "first the pages, then the questions; any other step is the first",
    ],
    "white space": ["test_no_patients_screen_has_a_fault"],
    "nothing behind the words": ["test_no_patients_screen_has_a_fault"],
    "what is implied is said": ["test_what_explains_a_word_is_there"],
    "numbers in another way too": ["no per cent and no ratio is shown to a patient"],
    # 4 Mistakes
    "nothing moves by itself": [
        "test_no_patients_screen_has_a_fault",
        "test_a_form_outlives_an_update_that_another_tab_takes",
    ],
    "one can go back": ["test_back_after_a_save_shows_no_form_again"],
    "costs are told first": "Not applicable: nothing costs anything here.",
    "forms prevent mistakes": ["test_no_question_of_safety_is_answered_beforehand"],
    "a mistake is easily put right": ["test_two_phones_may_correct_the_same_entry"],
    "labels that are seen": ["test_no_patients_screen_has_a_fault"],
    "instructions step by step": [
        "there are three questions, each with one right answer, not always in one place",
    ],
    "any way of writing is taken": ["test_a_code_typed_behind_a_gateway_pairs_nothing"],
    "nothing is lost, no time runs out": [
        "test_an_entry_whose_page_is_left_at_once_is_stored_or_still_in_its_form",
        "test_what_is_not_sent_is_listed_oldest_first_and_a_damaged_entry_breaks_no_screen",
    ],
    "feedback": [
        "test_a_full_phone_says_not_saved_and_keeps_form_and_log",
        "test_another_tab_shows_at_once_what_was_saved_here",
    ],
    "safety": [
        "test_a_hold_that_comes_while_a_bout_is_counted_stands_over_the_count_at_once",
        "test_an_implant_holds_all_bouts_until_the_clinics_code_is_typed",
    ],
    "familiar units": (
        "The number on the patient's own stimulator, in its own unit, as its profile says."
    ),
    # 5 Attention
    "few interruptions": ["test_each_cue_is_spoken_once_and_heard_unless_switched_off"],
    "short ways": ["test_a_normal_bout_is_logged_in_eight_taps"],
    "not too much at once": ["a screen has at most three key points, each with words"],
    "what one needs is told before one begins": [
        "it is due before the first bout, until it was seen or skipped",
    ],
    # 6 Memory
    "signing in takes no memory": ["test_a_code_typed_behind_a_gateway_pairs_nothing"],
    "signing in is one step, once": ["test_a_day_logged_without_a_server_reaches_the_panel_once"],
    "signing in with few words": ["test_every_screen_is_for_grade_five"],
    "no menu of a telephone": ["test_the_clinics_number_is_one_tap_away_everywhere_and_offline"],
    "no sums and nothing to keep in mind": [
        "test_what_was_skipped_and_ended_early_arrives_in_the_log",
        "six days ago is not yet a break, seven are",
    ],
    # 7 Help
    "a person helps": ["test_the_clinics_number_is_one_tap_away_everywhere_and_offline"],
    "another way to take in what is hard": [
        "every status has a shape and a word of its own",
        "there are three questions, each with one right answer, not always in one place",
    ],
    "what an action leads to is said": [
        "nobody leaves while something is unsent and not copied",
        "test_logging_goes_on_while_a_hold_stands",
    ],
    "help with forms": ["test_no_screen_of_the_patient_is_forgotten"],
    "help and feedback are easy to find": ["test_a_note_says_on_which_day_it_was_read"],
    "help with the way there": "Not applicable: the patient is at home.",
    "reminders": ["tests/services/test_reminders.py"],
    # 8 Adapting
    "one decides when something changes": ["test_a_form_outlives_an_update_that_another_tab_takes"],
    "helpers of the browser work": ["test_no_patients_screen_has_a_fault"],
    "it can be made simpler": ["a choice outlives the page and leaves the others alone"],
    "it can be made one's own": ["a choice outlives the page and leaves the others alone"],
}
