"""Seeds worth keeping. A change of what a seed draws makes them ordinary worlds again."""

# Worlds that broke a promise once, by a fault of ours that was then mended.
ONCE_BROKEN = [5, 10, 14, 27, 52]

# Worlds that show a broken design (mutants_all.py), each looked at with its focus.
FOUND: dict[str, list[int]] = {
    "any_200_is_a_receipt": [1],
    "change_not_announced": [1],
    "claim_taken_despite_gaps": [7],
    "confirmed_kept_no_day": [1],
    "custody_holds_twice": [3],
    "day_from_utc": [1],
    "deleted_to_be_sent": [1],
    "fresh_pull_clears_nothing": [7],
    "gaps_not_answered": [1],
    "gaps_not_offered_again": [3],
    "held_is_dropped": [3],
    "log_identity_ignored": [2],
    "missed_without_a_watermark": [4],
    "no_commit": [2],
    "no_halving": [1],
    "number_taken_outside_the_transaction": [1],
    "offered_is_as_good_as_sent": [1],
    "one_bad_item_refuses_the_batch": [3],
    "purged_when_confirmed": [1],
    "receipt_before_the_commit": [3],
    "receipt_hash_not_compared": [1],
    "replaced_phone_refused": [4],
    "rescue_never_merged": [5],
    "saved_when_the_request_succeeds": [3],
}
