"""Things moved by hand in the section, wide screens, and colours that the system forces."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from .test_page import axe

__all__ = ["axe"]
OpenPage = Callable[..., Page]


def test_ballast_is_moved_by_keys_and_by_hand_and_taken_back(open_page: OpenPage) -> None:
    page = open_page()
    glance = page.get_by_test_id("glance")
    ballast = page.get_by_role("slider", name="Station of steel ballast")
    balance = page.locator("figure").filter(has_text="Move things along the axis").get_by_text("balances at")
    ballast.scroll_into_view_if_needed()
    was, before = balance.text_content(), int(ballast.get_attribute("aria-valuenow"))
    ballast.focus()
    for _ in range(3):
        page.keyboard.press("Shift+ArrowRight")
    expect(ballast).to_have_attribute("aria-valuenow", str(before + 30))
    expect(glance).to_contain_text("1 change tried, not saved")
    expect(balance).not_to_have_text(was)
    page.keyboard.press("Tab")
    box = ballast.bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    for step in range(1, 6):
        page.mouse.move(box["x"] + box["width"] / 2 + 12 * step, box["y"] + box["height"] / 2)
    page.mouse.up()
    expect(ballast).not_to_have_attribute("aria-valuenow", str(before + 30))
    page.get_by_role("button", name="Undo").click()
    expect(ballast).to_have_attribute("aria-valuenow", str(before + 30))
    page.get_by_role("button", name="Throw away").click()
    expect(ballast).to_have_attribute("aria-valuenow", str(before))
    expect(balance).to_have_text(was)


def test_fins_bays_and_buttons_can_be_moved_too(open_page: OpenPage) -> None:
    page = open_page()
    places = page.locator("g[role=slider]").evaluate_all("(all) => all.map((one) => one.dataset.place)")
    for wanted in (r"fin\[", r"recovery\.bay\[", r"guide\.buttons", r"item\["):
        assert any(re.match(wanted, place) for place in places), wanted
    button = page.get_by_role("slider", name="Station of button 1")
    button.focus()
    page.keyboard.press("ArrowLeft")
    expect(page.get_by_test_id("glance")).to_contain_text("1 change tried, not saved")


@pytest.mark.parametrize(
    "options", [{"forced_colors": "active"}, {"viewport": {"width": 3840, "height": 2160}}]
)
def test_forced_colours_and_the_largest_screens_leave_nothing_out(
    open_page: OpenPage, axe: str, options: dict[str, object]
) -> None:
    page = open_page(**options)
    page.get_by_role("button", name="Show what moves").click()
    page.locator("#path-title").wait_for()
    page.evaluate(axe)
    found = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")
    assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found["violations"]] == []
    width = page.viewport_size["width"]
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    # Swatches say nothing without their colours, and lines of text are long enough to be read on any screen.
    swatch = page.locator(".swatch.pushed").first
    paper = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert swatch.evaluate("(one) => getComputedStyle(one).backgroundColor") != paper
    if width > 2000:
        size = page.evaluate("parseFloat(getComputedStyle(document.documentElement).fontSize)")
        assert page.locator("main").bounding_box()["width"] > 0.35 * width
        assert size >= 22
        # What is drawn in pixels grows with the type.
        assert page.locator(".plot canvas").first.bounding_box()["height"] > 10 * size
        word = page.get_by_text("balances at").evaluate("(one) => parseFloat(getComputedStyle(one).fontSize)")
        assert word > 0.75 * size
