"""Ways to look: along the body, stage by stage, from a finding to its picture, by address, key and unit."""

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import replace
from pathlib import Path
from urllib.parse import urlsplit

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect

from finial.report.pressure_words import pressure_sentence
from finial.report.shown import Shown
from finial.shape.mesh import Mesh
from finial.web.session import Session

from .conftest import KEY
from .test_page import axe, settled_picture

__all__ = ["axe"]
OpenPage = Callable[..., Page]
Served = Callable[[Session], AbstractContextManager[str]]


def test_one_cursor_for_all_curves_along_the_body(open_page: OpenPage) -> None:
    page = open_page()
    part = page.get_by_role("region", name="Along the body")
    told = part.get_by_test_id("at-cursor")
    station = part.get_by_role("slider", name="Station")
    station.press("Home")
    expect(told).to_contain_text(re.compile(r"^0 mm"))
    # Every plot's cursor goes along: all stand at the same place.
    before = told.inner_text()
    for _ in range(30):
        station.press("ArrowRight")
    expect(told).not_to_have_text(before)
    places = part.locator(".u-cursor-x").evaluate_all(
        "(all) => all.map((one) => one.getBoundingClientRect().x)"
    )
    assert len(places) == 5
    assert max(places) - min(places) < 1.5
    part.get_by_text("The same as a table").click()
    with page.expect_download() as drawn:
        part.get_by_role("button", name=re.compile("as SVG.*Loads along the body")).click()
    told = Path(drawn.value.path()).read_text(encoding="utf-8")
    assert told.startswith("<svg")
    assert all(f">{name}" in told for name in ("Axial force", "Shear", "Bending", "Least reserve"))
    with page.expect_download() as saved:
        part.get_by_role("button", name=re.compile("as CSV.*Loads along the body")).click()
    text = Path(saved.value.path()).read_text(encoding="utf-8")
    assert text.startswith(
        '"station, mm","axial, N","shear, N","bending, N m",least reserve,what gives way first'
    )
    assert len(text.splitlines()) == 122


def test_from_a_finding_to_its_picture_and_back(open_page: OpenPage) -> None:
    page = open_page()
    card = page.get_by_role("region", name="Findings, worst first").locator(".card").first
    card.get_by_text("How this number is found").first.click()
    expect(card.locator("details[open] p").first).not_to_be_empty()
    link = card.get_by_role("link", name="See the picture").first
    target = link.get_attribute("href").removeprefix("#")
    link.click()
    expect(page).to_have_url(re.compile(f"#{target}$"))
    expect(page.locator(f"#{target}")).to_be_in_viewport()
    page.go_back()
    expect(page).not_to_have_url(re.compile("#"))


def test_where_no_campaign_is_kept_one_link_leads_to_the_jobs(open_page: OpenPage) -> None:
    landings = open_page().get_by_role("region", name="Where it comes down")
    expect(landings.get_by_role("link")).to_have_text("Long jobs")
    expect(landings).to_contain_text("Start one under Long jobs, and its landings stand here.")
    assert landings.inner_text().count("Long jobs") == 1


def test_an_address_leads_to_a_stage_with_its_pictures(open_page: OpenPage, address: str) -> None:
    page = open_page()
    page.goto(f"{address}#stage-flight")
    page.reload()
    stage = page.locator("#stage-flight")
    drawn = stage.get_by_role("img").first
    expect(drawn).to_be_in_viewport()
    page.wait_for_function("(image) => image.complete && image.naturalWidth > 0", arg=drawn.element_handle())
    with page.expect_download() as saved:
        stage.get_by_role("link", name="SVG").first.click()
    assert Path(saved.value.path()).read_text(encoding="utf-8").startswith("<svg")


@pytest.mark.parametrize(("width", "scheme"), [(1280, "dark"), (390, "light")])
def test_keys_units_and_no_violation(open_page: OpenPage, axe: str, width: int, scheme: str) -> None:
    page = open_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
    mass = page.locator("dd[data-key=mass]")
    expect(mass).to_contain_text("kg")
    page.keyboard.press("u")
    expect(mass).to_contain_text("lb")
    page.keyboard.press("?")
    keys = page.get_by_role("dialog", name="Keys")
    expect(keys).to_be_visible()
    page.evaluate(axe)
    for state in ("the list of keys", "everything open"):
        found = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")
        faults = [(fault["id"], [node["html"] for node in fault["nodes"]]) for fault in found["violations"]]
        assert faults == [], state
        if keys.is_visible():
            keys.get_by_label("Single letters are keys").uncheck()
            page.keyboard.press("Escape")
            page.get_by_role("button", name="Show the stages").click()
            page.locator("#stage-shape").wait_for()
            page.evaluate("document.querySelectorAll('details').forEach((part) => (part.open = true))")
            page.wait_for_timeout(500)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.keyboard.press("u")
    expect(mass).to_contain_text("lb")


def test_small_pictures_show_the_sense_of_a_thing(open_page: OpenPage) -> None:
    page = open_page(viewport={"width": 390, "height": 844})
    part = page.get_by_role("region", name="Why it is so")
    for label, key, says in (
        ("Balance point, from tip to tail", "End", "turns it round"),
        ("Balance point, from tip to tail", "Home", "turns the nose into itself"),
        ("Seconds past the top", "End", "25 times that of 1 s"),
        ("Strength of all pins", "Home", "Too weak"),
        ("Strength of all pins", "End", "Too strong"),
        ("Rods M6 of aluminium", "Home", "carries everything"),
    ):
        part.get_by_role("slider", name=label).press(key)
        expect(part.get_by_text(says).last).to_be_visible()
    with page.expect_download() as drawn:
        part.get_by_role("button", name=re.compile("as SVG.*Why pins")).click()
    assert Path(drawn.value.path()).read_text(encoding="utf-8").startswith("<svg")
    part.locator("summary").filter(has_text="What a late event").click()
    with page.expect_download() as saved:
        part.get_by_role("button", name=re.compile("as CSV.*late event")).click()
    rows = Path(saved.value.path()).read_text(encoding="utf-8").splitlines()
    assert rows[0] == "Seconds past the top,what it means"
    # Free fall of 2 s: 19.6 m/s and half its square for a kilogram.
    assert rows[5].startswith('2,"2 s late: 20 m/s, 192 J for each kilogram, 4 times that of 1 s')
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_a_section_at_any_station_by_click_keys_and_address(open_page: OpenPage, axe: str) -> None:
    page = open_page()
    part = page.get_by_role("region", name="Along the body")
    exactly = part.get_by_label("Cut exactly at station, mm")
    drawn = part.get_by_role("img", name="Section across the vehicle")
    expect(drawn).to_have_attribute("alt", re.compile("at 60[0-9] mm from the tip"))
    part.get_by_role("slider", name="Station").press("Home")
    expect(drawn).to_have_attribute(
        "alt", re.compile(r"at [0-9.]+ mm from the tip, seen from the tail, through dome")
    )
    plot = part.locator(".u-over").first
    plot.scroll_into_view_if_needed()
    box = plot.bounding_box()
    plot.click(position={"x": box["width"] * 0.75, "y": box["height"] / 2})
    expect(drawn).to_have_attribute("alt", re.compile("motor|Demo"))
    exactly.fill("301")
    exactly.press("Enter")
    expect(drawn).to_have_attribute("alt", re.compile("lantern and gallery"))
    part.get_by_role("link", name="Address of this cut").click()
    expect(page).to_have_url(re.compile("#station-301$"))
    page.reload()
    expect(exactly).to_have_value("301")
    expect(part.get_by_role("heading", name="Across the vehicle there")).to_be_in_viewport()
    # A picture that cannot be drawn stays of no width; this one is on its way still.
    expect(drawn).to_have_js_property("complete", True)
    expect(drawn).not_to_have_js_property("naturalWidth", 0)
    with page.expect_download() as saved:
        part.get_by_role("link", name="SVG of Section across the vehicle").click()
    assert Path(saved.value.path()).read_text(encoding="utf-8").startswith("<svg")
    carried = part.get_by_role("group", name="Table: What it carries there")
    expect(carried.get_by_role("row")).not_to_have_count(0)
    page.evaluate(axe)
    found = page.evaluate("axe.run(document.querySelector('.along'), { resultTypes: ['violations'] })")
    assert [fault["id"] for fault in found["violations"]] == []


def test_a_part_is_picked_by_keyboard_and_by_click(open_page: OpenPage) -> None:
    page = open_page()
    choice, told = page.get_by_label("Pick a part"), page.get_by_test_id("picked")
    with page.expect_download() as drawn:
        page.get_by_role("button", name="Download as PNG").click()
    assert Path(drawn.value.path()).stat().st_size > 10_000, "an empty picture is smaller"
    with page.expect_download() as cut_out:
        page.get_by_role("group", name="Turn the picture").get_by_role("button", name="as SVG").click()
    svg = Path(cut_out.value.path()).read_text(encoding="utf-8")
    assert "it balances" in svg, "it says in words what it shows"
    assert svg.count("<path") > 300, "a picture of a few pieces has lost its hull"
    page.locator("summary").filter(has_text="What is drawn, as a table").click()
    with page.expect_download() as listed:
        page.get_by_role("button", name=re.compile("as CSV.*What is drawn")).click()
    rows = Path(listed.value.path()).read_text(encoding="utf-8").splitlines()
    assert rows[0] == "what,where"
    assert rows[1].startswith("hangs level,")
    assert any(row.startswith("upper tower,") and "printed part, from" in row for row in rows)
    choice.focus()
    page.keyboard.press("ArrowDown")
    expect(told).to_contain_text("printed part, from 0 mm to")
    before = settled_picture(page)
    choice.select_option(label="Demo K500")
    expect(told).to_contain_text("motor, from")
    expect(page.get_by_role("slider", name="Cut open")).to_have_value("50")
    # Shown through the tube that holds it.
    assert (np.abs(settled_picture(page) - before).max(axis=2) > 24).mean() > 0.02
    page.get_by_role("slider", name="Cut open").fill("0")
    picture = page.get_by_role("img", name="The vehicle lying")
    box = picture.bounding_box()
    picture.click(position={"x": box["width"] * 0.4, "y": box["height"] * 0.5})
    expect(told).to_contain_text("upper tower: printed part")
    page.get_by_role("link", name="Section there").click()
    expect(page.get_by_role("img", name="Section across the vehicle")).to_have_attribute(
        "alt", re.compile("upper tower")
    )
    expect(page.get_by_role("heading", name="Across the vehicle there")).to_be_in_viewport()


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (390, "dark")])
def test_flight_separation_and_fins_move_and_are_told(
    open_page: OpenPage, axe: str, width: int, scheme: str
) -> None:
    page = open_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
    page.evaluate("location.hash = 'moving-title'")
    part = page.get_by_role("region", name="In motion")
    flight = part.get_by_role("slider", name="the flight")
    flight.press("End")
    expect(part.get_by_text("under a canopy: how it lies is not known").first).to_be_visible()
    path = part.locator("polyline.path")
    before = path.get_attribute("points")
    part.get_by_role("slider", name="Turn").press("ArrowRight")
    expect(path).not_to_have_attribute("points", before)
    cord = part.get_by_role("img", name=re.compile("parts, on"))
    part.get_by_role("slider", name="the separation").press("End")
    expect(cord).to_have_attribute("aria-label", re.compile("5.00 s after it parts"))
    fin = part.get_by_role("img", name=re.compile("in one of its swings"))
    swung = fin.screenshot()
    part.get_by_role("button", name="Play the swing").click()
    page.wait_for_timeout(500)
    part.get_by_role("button", name="Stop").click()
    assert fin.screenshot() != swung
    which = part.get_by_label("Which swing").first
    flutter = which.locator("option").filter(has_text="flutter at").first
    which.select_option(label=flutter.text_content())
    expect(
        part.get_by_text(re.compile("leading edge out, runs [0-9]+° (ahead of|behind) its bending"))
    ).to_be_visible()
    edge = fin.locator("polyline.net").last
    still = edge.get_attribute("points")
    # Where something lags, not everything passes the middle at once: at the start of a swing it is bent too.
    part.get_by_role("slider", name="the swing").first.press("Home")
    expect(edge).not_to_have_attribute("points", still)
    with page.expect_download() as saved:
        part.get_by_role("button", name=re.compile("as SVG.*the flight in space")).click()
    text = Path(saved.value.path()).read_text(encoding="utf-8")
    assert text.startswith("<svg")
    assert "stroke: rgb" in text
    assert "<title>The nominal flight in space" in text
    page.evaluate("document.querySelectorAll('.moving details').forEach((one) => (one.open = true))")
    page.evaluate(axe)
    found = page.evaluate("axe.run(document.querySelector('.moving'), { resultTypes: ['violations'] })")
    faults = [(fault["id"], [node["html"] for node in fault["nodes"]]) for fault in found["violations"]]
    assert faults == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_where_less_motion_is_wanted_moments_are_stepped_through(open_page: OpenPage) -> None:
    page = open_page(reduced_motion="reduce")
    # Its key leads there, and opens it.
    page.keyboard.press("m")
    part = page.get_by_role("region", name="In motion")
    expect(part.get_by_role("button", name="Next moment")).to_have_count(3, timeout=30_000)
    expect(part.get_by_role("button", name=re.compile("^Play"))).to_have_count(0)
    flight = part.get_by_role("slider", name="the flight")
    part.get_by_role("button", name="Next moment").first.click()
    expect(flight).not_to_have_value("0")


def test_the_tunnels_pressure_is_seen_told_and_taken_away(open_page: OpenPage, session: Session) -> None:
    page = open_page()
    before = settled_picture(page)
    walls = page.get_by_role("radio", name="what the walls have left")
    walls.focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("radio", name="how the tunnel's air presses")).to_be_checked()
    assert session.surfaces is not None
    told = [pressure_sentence(one, Shown(us_units=False)) for one in session.surfaces()]
    # The wind farthest off the axis is shown first; another is chosen by keyboard.
    expect(page.get_by_role("img", name=told[-1])).to_be_visible()
    expect(page.get_by_text("pressed hardest")).to_be_visible()
    seen = settled_picture(page)
    assert (np.abs(seen - before).max(axis=2) > 24).mean() > 0.05
    winds = page.get_by_role("combobox", name="Wind")
    winds.focus()
    page.keyboard.press("ArrowUp")
    expect(page.get_by_role("img", name=told[-2])).to_be_visible()
    assert (np.abs(settled_picture(page) - seen).max(axis=2) > 24).mean() > 0.003
    page.get_by_text("Pressure along the body, as a table").click()
    with page.expect_download() as saved:
        page.get_by_role("button", name=re.compile("as CSV.*Pressure coefficient on the surface")).click()
    rows = Path(saved.value.path()).read_text(encoding="utf-8").splitlines()
    assert rows[0].startswith('"from, aft of the tip",to,mean,least,largest,mean facing the wind')
    assert len(rows) == 21
    with page.expect_download() as drawn:
        page.get_by_role("button", name="Download as SVG", exact=True).click()
    text = Path(drawn.value.path()).read_text(encoding="utf-8")
    assert "Cp above 0.5: pressed hardest" in text
    assert text.count("<path") > 200


COUNTED = """
window.drawn = [];
const draw = WebGL2RenderingContext.prototype.drawElements;
WebGL2RenderingContext.prototype.drawElements = function (mode, count, ...more) {
  if (count / 3 > 5_000) window.drawn.push(count / 3);
  return draw.call(this, mode, count, ...more);
};
"""
"""Triangles of each hull that was drawn; nothing else has as many."""


def of_many_triangles(session: Session) -> Session:
    """The same hull, each triangle cut in four until there are many."""
    import trimesh

    shape = session.as_written.shape
    vertices, faces = shape.display_mesh.vertices_m, shape.display_mesh.faces[~shape.fin_faces]
    while len(faces) < 40_000:
        vertices, faces = trimesh.remesh.subdivide(np.asarray(vertices), np.asarray(faces))
    mesh = Mesh(vertices_m=vertices, faces=faces.astype(np.int64))
    many = replace(shape, display_mesh=mesh, fin_faces=np.zeros(len(faces), dtype=bool))
    return replace(session, as_written=replace(session.as_written, shape=many), read_again=None)


def test_a_hull_of_many_triangles_turns_with_few_and_rests_whole(
    browser: Browser, served: Served, session: Session
) -> None:
    with served(of_many_triangles(session)) as address:
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.set_default_timeout(30_000)
        port = urlsplit(address).port
        page.context.add_cookies([{"name": f"finial-{port}", "value": KEY, "url": address}])
        page.add_init_script(COUNTED)
        page.goto(address)
        page.wait_for_function("() => window.drawn.at(-1) > 15_000")
        expect(page.get_by_text(re.compile("While it turns, with [0-9,]+"))).to_be_visible()
        page.evaluate("() => (window.drawn = [])")
        page.get_by_role("button", name="From above").click()
        page.wait_for_function("() => window.drawn[0] <= 12_000 && window.drawn.at(-1) > 15_000")
        page.close()
