"""What a phone loads where nothing shortens its script: all of the code, none of the comments."""

from pathlib import Path

from project.joining import joined
from project.storage import without_comments

PATIENT = Path(__file__).resolve().parent.parent / "static" / "patient"


def test_comments_and_indents_go_and_lines_stay_where_they_were():
    text = "// why\nact(\n  1, // one\n  // two\n);\n"

    assert without_comments(text) == "\nact(\n1, // one\n\n);\n"


def test_two_strokes_within_a_line_are_no_comment():
    line = 'const at = "https://clinic.example"; // there\n'

    assert without_comments(line) == line


def test_the_joined_app_keeps_every_line_of_code():
    whole = joined("app.js", lambda name: (PATIENT / name).read_text()).split("\n")
    light = without_comments("\n".join(whole)).split("\n")

    assert [line.strip() for line in whole if not line.strip().startswith("//")] == [
        line for line, was in zip(light, whole, strict=True) if not was.strip().startswith("//")
    ]
