"""The architecture is a test: floors, a framework-free ground floor, small files."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
CALC = sorted((ROOT / "homeprogram" / "calc").glob("*.py"))
CODE = sorted(
    path
    for app in ("project", "homeprogram", "clinician")
    for path in (ROOT / app).rglob("*.py")
    if "migrations" not in path.parts
)
CEILING = 320  # lines; 300 is the house rule, a little slack for a closing brace


def imported_packages(path: Path) -> set[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add(node.module or "")
    return names


def test_the_import_contracts_are_kept():
    run = subprocess.run(
        [Path(sys.executable).parent / "lint-imports", "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert run.returncode == 0, run.stdout


@pytest.mark.parametrize("path", CALC, ids=lambda path: path.name)
def test_calc_stands_on_the_standard_library_alone(path):
    outside = {
        name
        for name in imported_packages(path)
        if name.split(".")[0] not in sys.stdlib_module_names
        and not name.startswith(("homeprogram.calc", "homeprogram.errors"))
    }

    assert outside == set()


@pytest.mark.parametrize("path", CODE, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_file_stays_small_enough_to_have_one_purpose(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= CEILING


def test_nothing_stands_at_the_top_but_the_house():
    tracked = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split()

    assert {name.split("/")[0] for name in tracked if not name.startswith(".")} <= {
        "manage.py",
        "pyproject.toml",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "project",
        "homeprogram",
        "clinician",
        "static",
        "tests",
        "fixtures",
    }
