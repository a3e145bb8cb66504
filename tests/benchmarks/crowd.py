"""Many copies of one patient, made by PostgreSQL itself: for measuring only."""

from django.db import connection

# Table: the columns that differ from the template's, as SQL over the number n of the copy.
ID = {"id": "md5('{table}' || n || '{of}')::uuid"}
PATIENT = {"patient_id": "md5('homeprogram_patient' || n || '{of}')::uuid"}
EPISODE = {"episode_id": "md5('homeprogram_episode' || n || '{of}')::uuid"}
COPIES = {
    "homeprogram_patient": ID,
    "homeprogram_phone": ID | PATIENT | {"token_hash": "md5('token' || n || '{of}')"},
    "homeprogram_episode": ID | PATIENT,
    "homeprogram_homeprogram": ID | PATIENT | EPISODE,
    "homeprogram_revision": ID
    | {"program_id": "md5('homeprogram_homeprogram' || n || '{of}')::uuid"},
    "homeprogram_revisiononphone": ID
    | {
        "revision_id": "md5('homeprogram_revision' || n || '{of}')::uuid",
        "phone_id": "md5('homeprogram_phone' || n || '{of}')::uuid",
    },
    "clinician_remindersetting": ID | PATIENT,
}
# With a row a day and more of each patient: their own keys are counted by the database.
HISTORY = {
    "homeprogram_entry": PATIENT
    | EPISODE
    | {
        "phone_id": "md5('homeprogram_phone' || n || '{of}')::uuid",
        "revision_id": "md5('homeprogram_revision' || n || '{of}')::uuid",
    },
    "homeprogram_patientday": PATIENT | EPISODE,
    "homeprogram_flag": PATIENT
    | {
        "id": "md5(t.id::text || n || '{of}')::uuid",
        "episode_id": f"CASE WHEN t.episode_id IS NOT NULL THEN {EPISODE['episode_id']} END",
    },
}


def crowd(patient, copies: int, *, history: bool = False) -> None:
    """So many more of this patient, each with a phone, a program and a reminder setting."""
    with connection.cursor() as cursor:
        for table, changes in (COPIES | (HISTORY if history else {})).items():
            _copy(cursor, table, changes, str(patient.id), copies)
        cursor.execute("ANALYZE")


def _copy(cursor, table: str, changes: dict[str, str], patient_id: str, copies: int) -> None:
    cursor.execute(
        "SELECT column_name FROM information_schema.columns "
        "WHERE table_name = %s AND is_identity = 'NO'",
        [table],
    )
    columns = [name for (name,) in cursor.fetchall()]
    chosen = [
        changes.get(name, f't."{name}"').format(table=table, of=patient_id) for name in columns
    ]
    names = ", ".join(f'"{name}"' for name in columns)
    cursor.execute(
        f"INSERT INTO {table} ({names}) SELECT {', '.join(chosen)} "
        f"FROM {table} t, generate_series(1, {copies}) n WHERE {_of(table, patient_id)}"
    )


def _of(table: str, patient_id: str) -> str:
    """Which rows are the template's."""
    programs = f"SELECT id FROM homeprogram_homeprogram WHERE patient_id = '{patient_id}'"
    revisions = f"SELECT id FROM homeprogram_revision WHERE program_id IN ({programs})"
    return {
        "homeprogram_patient": f"t.id = '{patient_id}'",
        "homeprogram_revision": f"t.program_id IN ({programs})",
        "homeprogram_revisiononphone": f"t.revision_id IN ({revisions})",
    }.get(table, f"t.patient_id = '{patient_id}'")
