"""DEVELOPERS.md names what exists, or this fails."""

import re
from pathlib import Path

import pytest
from django.urls import get_resolver

from homeprogram import errors

ROOT = Path(__file__).resolve().parent.parent
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")
COMMANDS = sorted(
    path.stem
    for app in ("project", "homeprogram", "clinician")
    for path in (ROOT / app / "management" / "commands").glob("[!_]*.py")
)
SETTINGS = sorted(
    set(re.findall(r'environ\.get\(\s*"([A-Z_]+)"', (ROOT / "project/settings.py").read_text()))
)
CODES = sorted(
    {
        code
        for path in (ROOT / "homeprogram").rglob("*.py")
        for code in re.findall(r'\bcode\s*=\s*"([a-z_]+)"', path.read_text(encoding="utf-8"))
    }
    | {error.code for error in vars(errors).values() if hasattr(error, "code")}
)


def api_paths() -> list[str]:
    included = [p for p in get_resolver().url_patterns if str(p.pattern).startswith("api/v1/")]
    return sorted(
        f"/{pattern.pattern}{inner.pattern}"
        for pattern in included
        for inner in getattr(pattern, "url_patterns", [])
    )


def dependencies() -> list[str]:
    listed = (ROOT / "pyproject.toml").read_text().split("[tool")[0].split("dependencies = ")[1]
    return re.findall(r'^    "([A-Za-z0-9-]+)', listed, re.MULTILINE)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_described(command):
    assert f"`{command}`" in GUIDE


@pytest.mark.parametrize("setting", SETTINGS)
def test_every_environment_setting_is_described(setting):
    assert f"`{setting}`" in GUIDE


@pytest.mark.parametrize("code", CODES)
def test_every_error_code_is_described(code):
    assert f"`{code}`" in GUIDE


@pytest.mark.parametrize("path", api_paths())
def test_every_api_path_is_described(path):
    assert f"`{path}`" in GUIDE


@pytest.mark.parametrize("name", dependencies())
def test_every_dependency_says_why_it_is_here(name):
    assert name.lower() in GUIDE.lower()


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_every_file_a_document_names_exists(document):
    text = (ROOT / document).read_text(encoding="utf-8")
    named = re.findall(r"`([a-z]+(?:/[\w.-]+)+)`", text) + re.findall(r"\]\(([\w/.-]+)\)", text)

    missing = [name for name in named if not (ROOT / name).exists()]

    assert named
    assert missing == []


TESTS = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "tests").rglob("test_*.py"))


@pytest.mark.parametrize(
    "name",
    sorted(
        set(
            re.findall(r"`(test_\w+)`", GUIDE.split("### What can go wrong")[1].split("### API")[0])
        )
    ),
)
def test_every_test_the_guide_names_exists(name):
    assert f"def {name}(" in TESTS


def test_the_readme_opens_with_the_job_and_two_commands():
    assert "python3 manage.py demo" in README
    assert "python3 manage.py test" in README
    assert README.index("quadriceps") < README.index("python3 manage.py demo")
