"""From meshes to a verdict on the page: filled in, three findings mended by a click, saved, reloaded."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from click.testing import CliRunner
from playwright.sync_api import Locator, Page, expect

from finial.cli.main import finial
from finial.findings.check import check, load_begun
from finial.report.finding_words import title
from finial.web.serve import opened

from .test_page import axe

__all__ = ["axe"]
EXAMPLE = Path(__file__).parents[2] / "examples" / "skerry-light"
OpenPage = Callable[..., Page]
MENDED = {
    "dome in the sun, left to softening": "the outside painted white",
    "dome in a closed car in the sun, left to softening": "dome printed in ",
    "tower-middle at the motor's tube, left to softening": "tower-middle printed in ",
}
ANSWERED_MS = 90_000
"""A whole look at a new shape, on a busy machine."""


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What ``finial new`` writes for five meshes, and the file of a field beside it."""
    folder = tmp_path_factory.mktemp("new") / "tower"
    meshes = [str(path) for path in sorted((EXAMPLE / "meshes").glob("*.stl"))]
    asked = ["new", str(folder), "--mesh", *meshes, "--unit", "mm", "--motors", str(EXAMPLE / "motors")]
    ran = CliRunner().invoke(finial, [*asked, "--quiet"])
    assert ran.exit_code in {0, 3, 4}, ran.output
    return folder / "tower.toml"


@pytest.fixture(scope="module")
def address(sheet: Path, served) -> Iterator[str]:
    with served(opened(load_begun(sheet))) as told:
        yield told


def add(page: Page, table: str, **values: str) -> None:
    form = page.get_by_role("form", name="Add a table")
    form.get_by_role("combobox", name="Add a table").select_option(table)
    for name, text in values.items():
        form.get_by_label(name, exact=True).fill(text)
    form.get_by_role("button", name=f"Write [{table}] into the sheet").click()


def card(page: Page, name: str) -> Locator:
    findings = page.get_by_role("region", name="Findings, worst first")
    return findings.locator(".card, .follower").filter(has=page.get_by_text(name)).last


def test_from_meshes_to_a_verdict_with_three_findings_mended(
    open_page: OpenPage, sheet: Path, axe: str
) -> None:
    asked: list[str] = []
    page = open_page(
        prepare=lambda fresh: fresh.on("request", lambda one: asked.append(urlsplit(one.url).path))
    )
    expect(page.get_by_text("This sheet is only begun")).to_be_visible()
    assert asked.count("/api/mesh") == 1, "the hull is asked for once"
    page.evaluate(axe)
    found = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")
    assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found["violations"]] == []
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.set_viewport_size({"width": 1280, "height": 900})

    with page.expect_download() as drawn:
        page.get_by_role("group", name="Turn the picture").get_by_role("button", name="as SVG").click()
    assert Path(drawn.value.path()).read_text(encoding="utf-8").count("<path") > 300

    add(page, "motor", data="motors/demo-k500.toml", nozzle_station="1205 mm")
    expect(page.get_by_text("[launch] is still to be written")).to_be_visible(timeout=ANSWERED_MS)
    # The field has a file of its own, begun on the page with nothing guessed.
    page.get_by_role("button", name="Fill in the site's file").click()
    site = page.get_by_role("region", name="The site's file")
    save = site.get_by_role("button", name="Save site.toml")
    site.get_by_label("name", exact=True).fill("Low Meadow")
    site.get_by_label("ground_asl", exact=True).fill("240")
    expect(site.get_by_role("alert").first).to_contain_text("a number without unit", timeout=ANSWERED_MS)
    expect(save).to_be_disabled()
    more = {"ground_asl": "240 m", "ceiling_agl": "1500 m", "airspace": "G", "field_radius": "900 m"}
    for label, text in more.items():
        place = site.get_by_label(label, exact=True)
        place.select_option(text) if label == "airspace" else place.fill(text)
    save.click()
    expect(site.get_by_text("Saved as site.toml.")).to_be_visible(timeout=ANSWERED_MS)
    wind = {"wind": "4 m/s +- 2 m/s", "wind_from": "250 deg", "terrain": "level open"}
    add(page, "launch", site="site.toml", rail_length="3 m", temperature="15 degC", code="NFPA 1127", **wind)
    # With its last table the sheet is whole: the same page answers as a whole.
    expect(page.get_by_test_id("headline")).to_contain_text("No-go", timeout=ANSWERED_MS)
    expect(page.get_by_test_id("glance")).to_be_visible()

    glance = page.get_by_test_id("glance")
    for count, (name, change) in enumerate(MENDED.items(), start=1):
        trying = page.get_by_role("button", name=re.compile(f"^Try {re.escape(change)}"))
        expect(card(page, name)).to_be_visible()
        trying.click()
        expect(glance).to_contain_text(f"{count} change")
        # What the quick look answers turns at once; what only the whole look answers stays, marked as tried.
        expect(trying).to_have_count(0, timeout=ANSWERED_MS)
    page.get_by_role("button", name="Save 3 changes to the sheet").click()
    expect(glance).not_to_contain_text("tried", timeout=ANSWERED_MS)
    page.reload()
    page.get_by_test_id("headline").wait_for()
    # Another part may be the softest now, with a remedy of its own; what was mended is none of them.
    for name in MENDED:
        expect(card(page, name)).to_have_count(0)

    written = sheet.read_text(encoding="utf-8")
    assert written.count("# GUESS") >= 5, "comments of the begun sheet stay"
    assert 'colour = "white"' in written
    told = check(sheet)
    expect(page.get_by_test_id("headline")).to_contain_text(told.verdict.words, ignore_case=True)
    open_still = {title(one) for one in told.findings if one.verdict.words != "go"}
    assert open_still.isdisjoint(MENDED)
