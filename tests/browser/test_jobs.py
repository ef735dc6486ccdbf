"""Long jobs on the page: started, watched, cancelled, gone on with, and there again after a reload."""

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect
from untried import untried

from finial.findings.check import load
from finial.web.serve import session_of
from finial.web.session import Session

ROOT = Path(__file__).parents[2]
OpenPage = Callable[..., Page]
Served = Callable[[Session], AbstractContextManager[str]]
LONG_MS = 240_000
"""The first campaign on a machine compiles."""


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("jobs") / "buoy"
    shutil.copytree(ROOT / "examples" / "buoy-tiers", folder)
    return folder / "buoy-tiers.toml"


@pytest.fixture(scope="module")
def address(sheet: Path, served: Served) -> Iterator[str]:
    with untried():
        session = session_of(load(sheet))
    with served(session) as told:
        yield told


def jobs(page: Page) -> Locator:
    return page.get_by_role("region", name="Long jobs")


def start(page: Page, kind: str, **settings: int) -> None:
    jobs(page).get_by_role("combobox", name="Job").select_option(label=kind)
    for label, value in settings.items():
        jobs(page).get_by_role("spinbutton", name=label).fill(str(value))
    jobs(page).get_by_role("button", name="Start").click()


def row(page: Page, name: str) -> Locator:
    return page.locator(f"[data-job='{name}']")


def test_a_campaign_is_cancelled_gone_on_with_and_stays_after_a_reload(
    open_page: OpenPage, sheet: Path
) -> None:
    page = open_page()
    start(page, "Campaign", flights=6_000)
    campaign = row(page, "0001-campaign")
    flights = sheet.with_name("buoy-tiers-jobs") / "0001-campaign" / "flights"
    expect(campaign.get_by_role("progressbar")).to_have_attribute(
        "value", re.compile(r"[1-9]"), timeout=LONG_MS
    )
    # The page stays quick meanwhile: a slider is answered while the campaign flies.
    with page.expect_response("**/api/what-if", timeout=5_000):
        page.get_by_role("slider", name="fin span").press("ArrowRight")
    campaign.get_by_role("button", name="Cancel").click()
    expect(campaign.locator(".state")).to_have_text("cancelled")
    kept = {path.name for path in flights.glob("*.parquet")}
    assert kept
    page.reload()
    campaign.get_by_role("button", name="Go on").click()
    expect(campaign.locator(".state")).to_have_text("done", timeout=LONG_MS)
    assert kept <= {path.name for path in flights.glob("*.parquet")}
    # What was flown stands on the map without anything more being asked for.
    landings = page.get_by_role("region", name="Where it comes down")
    expect(landings).to_contain_text("of 6,000 flights of the kept campaign")
    with page.expect_download() as points:
        landings.get_by_role("link", name="points as CSV").click()
    assert Path(points.value.path()).read_text(encoding="utf-8").startswith("east_m,north_m")
    page.reload()
    expect(campaign.locator(".headline")).to_contain_text("Of 6000 flights")
    campaign.get_by_text("Tables and pictures").click()
    drawn = campaign.get_by_role("img", name=re.compile("[Ll]anding"))
    drawn.scroll_into_view_if_needed()
    page.wait_for_function("(image) => image.complete && image.naturalWidth > 0", arg=drawn.element_handle())
    with page.expect_download() as saved:
        campaign.get_by_role("button", name="Scatter over all flights").click()
    assert saved.value.suggested_filename == "scatter-over-all-flights.csv"
    assert Path(saved.value.path()).read_text(encoding="utf-8").startswith("what,5 % below,half below,")


def test_a_search_is_asked_in_words_and_for_odds(open_page: OpenPage) -> None:
    page = open_page()
    where = jobs(page)
    where.get_by_role("combobox", name="Job").select_option(label="Lightest go")
    aim = where.get_by_role("combobox", name="aim")
    expect(aim.locator("option")).to_have_text(["lightest", "highest"])
    flights = where.get_by_role("spinbutton", name="flights of each design")
    expect(flights).to_have_count(0)
    where.get_by_role("spinbutton", name="least odds, % (0: no odds asked)").fill("95")
    flights.fill("20")
    aim.select_option(label="highest")
    where.get_by_role("spinbutton", name="generations").fill("1")
    where.get_by_role("button", name="Start").click()
    search = page.locator("[data-job$='-search']").first
    expect(search.locator(".about")).to_have_text(
        "1 generation, aim highest, at least 95 % as meant, 20 flights of each design, on the sheet as saved"
    )
    search.get_by_role("button", name="Cancel").click()
    expect(search.locator(".state")).to_have_text("cancelled")


def test_what_is_typed_for_one_job_is_not_typed_for_another(open_page: OpenPage) -> None:
    page = open_page()
    where = jobs(page)
    kind = where.get_by_role("combobox", name="Job")
    flights = where.get_by_role("spinbutton", name="flights")
    kind.select_option(label="Campaign")
    flights.fill("15000")
    kind.select_option(label="Map of the day")
    expect(flights).to_have_value("500")
    kind.select_option(label="Campaign")
    expect(flights).to_have_value("15000")
