"""The air round the shape: seen, told, played, stepped through and taken away."""

import re
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page, expect

from finial.report.flow_words import flow_sentence
from finial.report.shown import Shown
from finial.web.session import Session

from .test_page import axe

__all__ = ["axe"]
OpenPage = Callable[..., Page]


def _violations(page: Page, axe: str, where: str) -> list[tuple[str, list[str]]]:
    page.evaluate(axe)
    asked = f"axe.run(document.querySelector('{where}'), {{ resultTypes: ['violations'] }})"
    found = page.evaluate(asked)["violations"]
    return [(fault["id"], [node["html"] for node in fault["nodes"]]) for fault in found]


def test_the_air_round_the_shape_is_seen_told_played_and_taken_away(
    open_page: OpenPage, session: Session, axe: str
) -> None:
    page = open_page()
    # Its key leads there, and opens it.
    page.keyboard.press("t")
    part = page.get_by_role("region", name="The air round it")
    assert session.flows is not None
    told = [flow_sentence(one, Shown(us_units=False)) for one in session.flows()]
    # The wind farthest off the axis is shown first; another is chosen by keyboard.
    expect(part.get_by_role("img", name=told[-1])).to_have_count(2)
    winds = part.get_by_role("combobox", name="Wind")
    winds.focus()
    page.keyboard.press("ArrowUp")
    expect(part.get_by_role("img", name=told[-2])).to_have_count(2)
    assert _violations(page, axe, ".flow") == []
    part.get_by_role("radio", name="mean speed").focus()
    page.keyboard.press("ArrowRight")
    expect(part.get_by_role("img", name=re.compile("^Mean pressure of the air"))).to_have_count(2)
    expect(part.get_by_text("presses hardest", exact=False).first).to_be_visible()
    part.get_by_text(re.compile("^Means of a plane through the axis, roll 0.*as a table")).click()
    with page.expect_download() as saved:
        part.get_by_role("button", name=re.compile("as CSV.*roll 0 deg up")).click()
    rows = Path(saved.value.path()).read_text(encoding="utf-8").splitlines()
    assert (
        rows[0]
        == '"from, aft of the tip",to,least speed,mean speed,largest speed,least Cp,mean Cp,largest Cp'
    )
    assert len(rows) > 15
    part.get_by_role("radio", name=re.compile("^a film of moments")).check()
    film = part.get_by_role("slider", name="the film")
    film.press("End")
    expect(
        part.get_by_role("img", name=re.compile("^The air at a moment.*after [0-9.]+ widths"))
    ).to_be_visible()
    assert _violations(page, axe, ".flow") == []
    seen = part.locator(".specks").first.get_attribute("d")
    film.press("Home")
    expect(part.locator(".specks").first).not_to_have_attribute("d", seen or "")
    part.get_by_role("button", name="Play the film").click()
    expect(film).not_to_have_value("0")
    part.get_by_role("button", name="Stop the film").click()
    with page.expect_download() as drawn:
        part.get_by_role("button", name=re.compile("as SVG.*The air at a moment")).click()
    text = Path(drawn.value.path()).read_text(encoding="utf-8")
    assert text.count("<path") >= 9


def test_where_less_motion_is_wanted_the_film_is_stepped_through(open_page: OpenPage) -> None:
    page = open_page(reduced_motion="reduce")
    page.keyboard.press("t")
    part = page.get_by_role("region", name="The air round it")
    part.get_by_role("radio", name=re.compile("^a film of moments")).check()
    film = part.get_by_role("slider", name="the film")
    expect(film).to_have_value("0")
    part.get_by_role("button", name="Next moment").click()
    expect(film).not_to_have_value("0")
    expect(part.get_by_role("button", name=re.compile("^Play"))).to_have_count(0)
