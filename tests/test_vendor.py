"""What we did not write is what its authors published, but for what its note says."""

import hashlib
from pathlib import Path

CHART = Path(__file__).resolve().parent.parent / "static" / "vendor" / "chart.js"
# npm's chart.js 4.6.1, dist/chart.umd.min.js, without its last line.
SHA256 = "c17f2ce49fb9c71ef7fb39c03f868804ac5ab34730149976eebe6b7f807bef0c"
AS_PUBLISHED = "87364cc2b2a76a6684929e7d6b80b18a897794db38400caff1fcf1791c6925d2"


def sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def test_chart_js_is_the_vendored_version_byte_for_byte():
    assert sha256((CHART / "chart.umd.min.js").read_bytes()) == SHA256


def test_with_its_last_line_back_it_is_what_npm_has():
    ours = (CHART / "chart.umd.min.js").read_bytes()

    assert sha256(ours + b"//# sourceMappingURL=chart.umd.min.js.map\n") == AS_PUBLISHED


def test_the_note_beside_it_names_version_checksum_and_licence():
    note = (CHART / "VERSION").read_text()

    assert "Chart.js 4.6.1" in note
    assert SHA256 in note
    assert "MIT" in (CHART / "LICENSE.md").read_text()
