"""The site kit in a phone's browser, from a file, without a network."""

import pytest
from playwright.sync_api import Browser, Page, expect
from report.kit_by_hand import kit_by_hand

from finial.findings.check import load, readiness
from finial.findings.readiness import Depth
from finial.report.kit_page import kit_page

from .conftest import SHEET


@pytest.fixture(scope="module")
def kit_file(tmp_path_factory):
    vehicle = load(SHEET)
    kit = kit_by_hand(readiness(vehicle, depth=Depth.QUICK), vehicle.sheet)
    path = tmp_path_factory.mktemp("kit") / "it.kit.html"
    path.write_text(kit_page(kit), encoding="utf-8")
    return path


@pytest.fixture
def phone(browser: Browser, kit_file) -> Page:
    context = browser.new_context(viewport={"width": 390, "height": 844}, offline=True)
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(kit_file.as_uri())
    yield page
    assert faults == []
    context.close()


def asked(page: Page, mass: str, balance: str, wind: str) -> str:
    for name, value in (("mass", mass), ("balance", balance), ("wind", wind)):
        page.fill(f"#{name}", value)
    return page.inner_text("#answer")


def test_it_fits_a_phone(phone: Page):
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390


def test_between_two_rows_the_worse_counts_and_beyond_them_nothing_is_known(phone: Page):
    assert asked(phone, "9", "650", "2").startswith("NOTHING FAILS SO FAR")
    assert asked(phone, "10", "670", "2").startswith("NOTHING FAILS SO FAR")
    worst = asked(phone, "10", "670", "4")
    assert worst.startswith("NO-GO")
    assert "landing inside the field" in worst
    # A whisker towards the failing corner from each side.
    assert asked(phone, "9.01", "650.1", "2.1").startswith("NO-GO")
    assert asked(phone, "9", "670", "4").startswith("NOTHING FAILS SO FAR")
    for mass, balance, wind in (
        ("8.9", "650", "2"),
        ("9", "671", "2"),
        ("9", "650", "4.1"),
        ("", "650", "2"),
    ):
        assert asked(phone, mass, balance, wind).startswith("NOT KNOWN")


def test_boxes_are_counted_and_kept(phone: Page, kit_file):
    # What is kept goes through another process: a second page tells when it has arrived there.
    beside = phone.context.new_page()
    beside.goto(kit_file.as_uri())
    boxes = phone.locator("input[type=checkbox]")
    total = boxes.count()
    assert phone.inner_text("#done") == f"0 of {total} done"
    boxes.nth(0).check()
    phone.locator(".initials input").first.fill("AB")
    assert phone.inner_text("#done") == f"1 of {total} done"
    beside.wait_for_function("Object.values({ ...localStorage }).some((kept) => kept.includes('AB'))")
    phone.reload()
    expect(boxes.nth(0)).to_be_checked()
    assert phone.locator(".initials input").first.input_value() == "AB"
    phone.click("#clear")
    assert phone.inner_text("#done") == f"0 of {total} done"
