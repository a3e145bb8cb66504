"""Broken servers."""

from tests.simulation.mutants import Mutant

PUSH, INTAKE = "homeprogram/services/push.py", "homeprogram/services/intake.py"

MUTANTS = [
    Mutant(
        "receipt_before_the_commit",
        PUSH,
        "        return _take(phone, push, items, now)",
        """        pushed = _take(phone, push, items, now)
        if items and now.microsecond // 1000 % 4 == 0:
            transaction.set_rollback(True)
        return pushed""",
    ),
    Mutant(
        "no_look_at_what_is_here",
        INTAKE,
        "        if row and row.sha256 == item.sha256:",
        "        if row and not self.items:",
        focus="storm doubled reply_lost",
    ),
    Mutant(
        "one_bad_item_refuses_the_batch",
        INTAKE,
        "            return self._hold(item, body)",
        "            raise body",
        focus="broken_form",
    ),
    Mutant(
        "held_is_dropped",
        INTAKE,
        "            self._custody[held.sha256] = held\n            self._new.append(held)\n",
        "            held.version = 0\n",
        focus="broken_form",
    ),
    Mutant(
        "custody_holds_twice",
        INTAKE,
        "        return self._custody.get(digest(item.body))",
        "        return None",
        focus="broken_form storm",
    ),
    Mutant(
        "server_compares_no_hash",
        INTAKE,
        "        if digest(item.body) != item.sha256:",
        "        if not item.sha256:",
        focus="flipped",
    ),
    Mutant(
        "last_to_arrive_wins",
        "homeprogram/calc/readings.py",
        "key=lambda entry: (entry.number, entry.id)",
        "key=lambda entry: (entry.received_at, entry.id)",
        focus="amend",
    ),
    Mutant(
        "missed_without_a_watermark",
        "homeprogram/calc/day_status.py",
        "known = watermark is not None and watermark >= closing and not gap",
        "known = True",
        focus="weather a_day_passes",
    ),
    Mutant(
        "held_day_called_missed",
        "homeprogram/calc/day_status.py",
        "watermark >= closing and not gap",
        "watermark >= closing",
        focus="broken_form a_day_passes lift",
    ),
    Mutant(
        "day_ends_by_utc",
        "homeprogram/calc/days.py",
        "time(GRACE_UNTIL_HOUR), tzinfo=zone)",
        "time(GRACE_UNTIL_HOUR), tzinfo=UTC)",
        focus="a_day_passes hours_pass lift",
    ),
    Mutant(
        "claim_taken_despite_gaps",
        PUSH,
        "if push.claim and not gaps and",
        "if push.claim and",
        focus="failover",
    ),
    Mutant(
        "claim_in_the_phones_time",
        PUSH,
        "_moment(_claimed_ms(phone, push.claim), now)",
        "_moment(push.claim.at_ms, now)",
    ),
    Mutant(
        "gaps_not_answered",
        PUSH,
        "    )\n    return gaps\n",
        "    )\n    return []\n",
        focus="failover",
    ),
    Mutant(
        "claim_dated_by_its_arrival",
        PUSH,
        "if claim.heard_ms is None else claim.heard_ms",
        "if claim.heard_ms is None or claim.at_ms else claim.heard_ms",
        focus="storm late_copy hours_pass kill_while_saving",
    ),
    Mutant(
        "lost_days_called_missed",
        "homeprogram/selectors/plans.py",
        "            for loss in phone.losses:",
        "            for loss in phone.losses[:0]:",
        focus="wipe a_day_passes lift",
    ),
    Mutant(
        "losses_stop_the_watermark",
        PUSH,
        "    lost = set(push.lost) & set(gaps)\n",
        "    lost = set()\n",
        focus="wipe giant_entry",
    ),
    Mutant(
        "replaced_phone_refused",
        "homeprogram/api/credential.py",
        'if phone.state == "stolen":',
        'if phone.state in ("stolen", "replaced"):',
        focus="revoke",
    ),
    Mutant(
        "restore_keeps_the_name",
        "homeprogram/services/backups.py",
        "    log_identity_draw(now=now)\n",
        "",
        focus="restore backup revise",
    ),
    Mutant(
        "cursor_runs_ahead",
        "homeprogram/api/sync.py",
        '"cursor": f"{identity}.{pulled.version}"',
        '"cursor": f"{identity}.{pulled.version + 1}"',
        focus="revise",
    ),
    Mutant(
        "change_not_announced",
        INTAKE,
        "changes_announce(patient=self.patient, what=[_change(row) for row in self._new])",
        "changes_announce(patient=self.patient, what=[_change(row) for row in self._new[1:]])",
    ),
    Mutant(
        "newest_phone_speaks_for_all",
        "homeprogram/selectors/plans.py",
        "return min((phone.heard_at",
        "return max((phone.heard_at",
        focus="weather",
    ),
    Mutant(
        "amendment_leaves_its_day_alone",
        "homeprogram/services/projections.py",
        "if further := {root.for_date for root in roots} - days:",
        "further = set()\n    if roots and further:",
        focus="amend",
    ),
    Mutant(
        "withdrawn_bout_stays",
        "homeprogram/services/projections.py",
        "    _withdrawn_remove(facts, standing)\n",
        "",
        focus="amend",
    ),
]
