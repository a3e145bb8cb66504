"""What the charts draw is what the table, the sheet and the JSON say: in a real browser."""

import csv
import io

import pytest

from tests.browser.desk import Desk
from tests.browser.look import DESK, DESK_IN_HAND, faults_of, look_at

pytestmark = pytest.mark.browser
# Each chart's arrays as Chart.js holds them, and whether it joins gaps.
DRAWN = """() => [...document.querySelectorAll("figure[data-chart] canvas")].map((canvas) => {
    const { data, options } = Chart.getChart(canvas);
    return {
        days: data.labels,
        lines: data.datasets.map(({ label, data: values }) => ({ name: label, values })),
        scales: Object.keys(options.scales),
        joins: options.spanGaps,
        height: canvas.clientHeight,
    };
})"""
TABLES = """() => [...document.querySelectorAll("table.numbers")].map((table) =>
    [...table.tBodies[0].rows].map((row) => [...row.cells].map((cell) =>
        cell.querySelector("time")?.dateTime ?? cell.textContent)))"""
OPENED = "() => document.querySelectorAll('#charts details').forEach((one) => { one.open = true; })"


@pytest.fixture(scope="module")
def desk(screens, chromium_browser):
    context = chromium_browser.new_context(viewport=DESK.size)
    context.set_default_timeout(20_000)
    desk = Desk(context.new_page(), screens.url)
    desk.sign_in(screens.told["login"], screens.told["password"])
    yield desk
    context.close()


@pytest.fixture
def page(desk, screens):
    """The page of a patient with weeks of entries, a whole course long."""
    desk.page.goto(f"{screens.url}{screens.told['pages']['patient-detail']}?weeks=all")
    desk.page.locator("figure[data-chart]:not([hidden])").first.wait_for()
    return desk.page


def test_drawn_tabled_exported_and_told_are_the_same_numbers(page):
    here = page.url.split("?")[0]
    told = page.request.get(f"{here}numbers/?weeks=all").json()
    sheet = page.request.get(f"{here}numbers/file/?weeks=all").text()
    head, *rows = csv.reader(io.StringIO(sheet))
    drawn, tables = page.evaluate(DRAWN), page.evaluate(TABLES)

    charts = [(limb, chart) for limb in told["limbs"] for chart in limb["charts"]]
    assert len(drawn) == len(tables) == len(charts) > 4
    for (limb, chart), one, table in zip(charts, drawn, tables, strict=True):
        lines = [{"name": line["name"], "values": line["values"]} for line in chart["lines"]]
        assert one["days"] == limb["days"] == [row[0] for row in table]
        assert one["lines"] == lines
        values = [[None if cell == "gap" else float(cell) for cell in row[2:]] for row in table]
        assert values == [list(day) for day in zip(*(li["values"] for li in lines), strict=True)]
        for line in lines:
            at = head.index(f"{chart['title']}, {line['name']}, {chart['unit']}")
            of_limb = [row for row in rows if row[0] == limb["limb"]]
            assert [float(r[at]) if r[at] else None for r in of_limb] == line["values"]


def test_gaps_stay_gaps_and_every_chart_has_one_scale(page):
    drawn = page.evaluate(DRAWN)

    assert any(None in line["values"] for one in drawn for line in one["lines"])
    assert {one["joins"] for one in drawn} == {False}
    assert {tuple(one["scales"]) for one in drawn} == {("x", "y")}
    assert all(one["height"] > 100 for one in drawn)


@pytest.mark.parametrize("gauge", [DESK, DESK_IN_HAND], ids=["desk", "hand"])
def test_the_charts_with_their_tables_open_have_no_fault(page, gauge):
    page.evaluate(OPENED)

    look = look_at(page, "charts", gauge)
    page.set_viewport_size(DESK.size)

    kinds = ["axe", "in the dark", "sideways", "clipped", "overlapping", "narrow"]
    assert faults_of([look], *kinds) == {}


def test_a_table_opens_and_scrolls_by_keyboard(page):
    fold = page.locator(".fold").first
    fold.locator("summary").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")

    assert fold.locator("table").is_visible()
    assert page.evaluate("() => document.activeElement.getAttribute('role')") == "region"


@pytest.mark.parametrize(
    "media", [{"color_scheme": "dark"}, {"forced_colors": "active"}], ids=["dark", "forced"]
)
def test_charts_follow_the_colours_of_the_page(page, media):
    colour = "Chart.getChart(document.querySelector('figure canvas')).data.datasets[0].borderColor"
    light = page.evaluate(colour)

    page.emulate_media(**media)

    page.wait_for_function(f"() => {colour} !== '{light}'")
    page.emulate_media(color_scheme="light", forced_colors="none")


def test_without_scripts_the_tables_stand_open(screens, chromium_browser, desk):
    context = chromium_browser.new_context(
        java_script_enabled=False, storage_state=desk.page.context.storage_state()
    )
    page = context.new_page()
    page.goto(screens.url + screens.told["pages"]["patient-detail"])

    assert page.locator("figure[data-chart]").first.is_hidden()
    assert page.locator("table.numbers td").first.is_visible()
    context.close()
