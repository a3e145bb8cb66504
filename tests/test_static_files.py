"""What a phone loads of its modules: all of the code, none of the comments, every line in place."""

from pathlib import Path

import pytest
from django.core.files.storage import FileSystemStorage

from project.storage import WithoutComments

PATIENT = Path(__file__).resolve().parent.parent / "static" / "patient"
MODULES = sorted(path.relative_to(PATIENT).as_posix() for path in PATIENT.rglob("*.js"))


@pytest.fixture
def lighter(tmp_path):
    def of(text: str) -> str:
        (tmp_path / "one.js").write_text(text)
        return WithoutComments(FileSystemStorage(tmp_path)).open("one.js").read().decode()

    return of


def test_comments_and_indents_go_and_lines_stay_where_they_were(lighter):
    assert lighter("// why\nact(\n  1, // one\n  // two\n);\n") == "\nact(\n1, // one\n\n);\n"


def test_two_strokes_within_a_line_are_no_comment(lighter):
    line = 'const at = "https://clinic.example"; // there\n'

    assert lighter(line) == line


@pytest.mark.parametrize("name", MODULES)
def test_a_phones_module_keeps_every_line_of_code(name):
    whole = (PATIENT / name).read_text().split("\n")
    light = WithoutComments(FileSystemStorage(PATIENT)).open(name).read().decode().split("\n")

    assert [line.strip() for line in whole if not line.strip().startswith("//")] == [
        line for line, was in zip(light, whole, strict=True) if not was.strip().startswith("//")
    ]
