"""How high to build it, on the page: typed, slid by keyboard, refused in words, on a dark telephone."""

import re
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Page, expect

from finial.findings.check import load_begun
from finial.web.serve import opened

from .test_page import axe

__all__ = ["axe"]
OpenPage = Callable[..., Page]
POST = """
[vehicle]
name = "Post"
up = "+z"

[[part]]
name = "post"
tiers = [{ outline = "circle", across = "100 mm", height = "600 mm" }]
tip_station = "0 mm"
material = "PETG"
print = { wall = "2 mm", infill = "10 %", layers_along = "z" }
"""


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory, served) -> Iterator[str]:
    sheet = tmp_path_factory.mktemp("post") / "post.toml"
    sheet.write_text(POST, encoding="utf-8")
    with served(opened(load_begun(sheet))) as told:
        yield told


def said(page: Page, what: str) -> str:
    row = page.get_by_role("region", name="How high to build it").locator("dl div", has_text=what)
    return row.locator("dd").inner_text()


def test_one_slider_moves_mass_motor_and_margin(open_page: OpenPage, faults: list[str]) -> None:
    page = open_page()
    part = page.get_by_role("region", name="How high to build it")
    part.get_by_label("Height of the real thing").fill("30 m")
    slider = part.get_by_role("slider", name="height of the model")
    expect(slider).to_have_attribute("aria-valuetext", re.compile(r"^600 mm"))
    assert said(page, "scale") == "1:50.0"
    small = said(page, "lift-off mass")
    slider.focus()
    page.keyboard.press("End")
    expect(slider).to_have_attribute("aria-valuetext", re.compile(r"^1200 mm"))
    # Twice as high is twice as near to the real thing, and more than four times as heavy in walls alone.
    assert said(page, "scale") == "1:25.0"
    assert said(page, "lift-off mass") != small
    part.get_by_label("Height of the real thing").fill("30")
    expect(part.get_by_role("alert")).to_contain_text('such as "12 mm"')
    assert all("422" in fault for fault in faults)
    faults.clear()


@pytest.mark.parametrize(("scheme", "width"), [("light", 1280), ("dark", 390)])
def test_axe_finds_no_violation_and_nothing_runs_out(
    open_page: OpenPage, axe: str, scheme: str, width: int
) -> None:
    page = open_page(color_scheme=scheme, viewport={"width": width, "height": 844})
    part = page.get_by_role("region", name="How high to build it")
    part.get_by_label("Height of the real thing").fill("30 m")
    part.get_by_text("Every height as a table").click()
    expect(part.get_by_role("table")).to_be_visible()
    page.evaluate(axe)
    found = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")
    assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found["violations"]] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
