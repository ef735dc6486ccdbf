"""The page as a builder meets it: with eyes, with a keyboard, with a screen reader, on a telephone."""

import importlib.util
import io
import json
import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Locator, Page, Route, expect

from finial.core.dimensions import Dimension
from finial.core.units import parse_quantity
from finial.web.payload import answer_text, vehicle_payload
from finial.web.session import Session

ROOT = Path(__file__).parents[2]
OpenPage = Callable[..., Page]
PICTURE = "\"[aria-labelledby='shape-title']\""


def pixels(seen: Locator | Page) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(seen.screenshot())).convert("RGB"), dtype=int)


def settled_picture(page: Page) -> np.ndarray:
    """The picture alone after the frames asked for so far were drawn, of one size wherever it stands.

    What is above it may grow by 31.2 pixels, a line; a screenshot of the element would then be a row higher.
    """
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    picture = page.get_by_role("img", name="The vehicle lying")
    picture.scroll_into_view_if_needed()
    box, bar = picture.bounding_box(), page.get_by_test_id("glance").bounding_box()
    assert box is not None
    assert bar is not None
    assert box["y"] >= bar["y"] + bar["height"], "the bar of the verdict lies over the picture"
    left, top, width, height = map(round, (box["x"], box["y"], box["width"], box["height"]))
    return pixels(page)[top : top + height, left : left + width]


def ballast_slider(page: Page, session: Session) -> Locator:
    name = vehicle_payload(session.as_written)["ballast"][0]["name"]
    # Its mass: where it stands is another slider, in the section.
    return page.get_by_role("region", name="What if").get_by_role("slider", name=name)


def shown_mass_kg(page: Page) -> float:
    text = page.locator("[data-key=mass]").inner_text().split("\n")[0]
    return parse_quantity(text, Dimension.MASS).value


def test_the_page_says_what_the_check_says(open_page: OpenPage, session: Session) -> None:
    page = open_page()
    answer = json.loads(answer_text(session.as_written))
    expect(page.get_by_role("heading", level=1)).to_have_text(session.as_written.name)
    expect(page.get_by_test_id("headline")).to_have_text(answer["headline"])
    expect(page).to_have_title(re.compile(re.escape(session.as_written.name)))
    not_go = [finding for finding in answer["findings"] if finding["verdict"] != "go"]
    cards = page.get_by_role("region", name="Findings, worst first").locator(".card")
    expect(cards).to_have_count(len(not_go))
    for finding, card in zip(not_go, cards.all(), strict=True):
        expect(card.get_by_role("heading", level=3)).to_contain_text(finding["name"])
        expect(card).to_contain_text(finding["why"])


def test_ballast_by_keyboard_changes_the_mass_by_as_much(open_page: OpenPage, session: Session) -> None:
    page = open_page()
    before_kg = shown_mass_kg(page)
    slider = ballast_slider(page, session)
    slider.focus()
    page.keyboard.press("Home")
    expect(slider).to_have_js_property("value", "0")
    expect(page.locator("[data-key=mass] .was")).to_be_visible()
    # The mass is shown to 3 digits or the whole gram, so a vehicle of some kilograms to 10 g at worst.
    ballast_kg = vehicle_payload(session.as_written)["ballast"][0]["mass_kg"]
    assert before_kg - shown_mass_kg(page) == pytest.approx(ballast_kg, abs=0.011)
    expect(slider).to_be_focused()
    assert "the build sheet says" in (slider.get_attribute("aria-valuetext") or "")


def test_every_change_can_be_taken_back(open_page: OpenPage, session: Session) -> None:
    page = open_page()
    headline = page.get_by_test_id("headline").inner_text()
    restore = page.get_by_role("button", name="Back to the build sheet")
    expect(restore).to_be_disabled()
    before_kg = shown_mass_kg(page)
    ballast_slider(page, session).press("End")
    expect(page.locator("[data-key=mass] .was")).to_be_visible()
    restore.click()
    expect(page.locator(".was")).to_have_count(0)
    assert shown_mass_kg(page) == before_kg
    expect(page.get_by_test_id("headline")).to_have_text(headline)


def test_fin_span_changes_the_margin_and_the_picture(open_page: OpenPage) -> None:
    page = open_page()
    before = settled_picture(page)
    page.get_by_role("slider", name="fin span").press("End")
    expect(page.locator("[data-key=margin-bad-end] .was")).to_be_visible()
    assert np.abs(settled_picture(page) - before).max(axis=2).astype(bool).mean() > 0.005


def test_the_new_answer_is_read_out_once_the_slider_rests(open_page: OpenPage, session: Session) -> None:
    page = open_page()
    status = page.get_by_role("status")
    expect(status).to_have_text("")
    ballast_slider(page, session).press("Home")
    expect(status).to_contain_text("balances")
    expect(status).to_contain_text(page.get_by_test_id("headline").inner_text())


def test_the_picture_is_drawn_and_turns(open_page: OpenPage) -> None:
    page = open_page()
    before = settled_picture(page)
    # Something other than paper covers a good part of the picture.
    assert (np.abs(before - before[2, 2]).max(axis=2) > 24).mean() > 0.05
    page.get_by_role("button", name="Roll one way").press("Enter")
    rolled = settled_picture(page)
    assert (np.abs(rolled - before).max(axis=2) > 24).mean() > 0.002
    page.get_by_role("button", name="As it was").press("Enter")
    assert (np.abs(settled_picture(page) - before).max(axis=2) > 24).mean() < 0.0005


def test_the_picture_comes_nearer_and_is_cut_open(open_page: OpenPage, session: Session) -> None:
    page = open_page()
    whole = settled_picture(page)
    page.get_by_role("button", name="Nearer").press("Enter")
    near = settled_picture(page)
    paper = whole[2, 2]
    assert (np.abs(near - paper).max(axis=2) > 24).mean() > 1.15 * (
        np.abs(whole - paper).max(axis=2) > 24
    ).mean()
    page.get_by_role("button", name="As it was").press("Enter")
    cut = page.get_by_role("slider", name="Cut open")
    cut.fill("50")
    opened = settled_picture(page)
    assert (np.abs(opened - whole).max(axis=2) > 24).mean() > 0.02
    assert len(session.as_written.inside.things) > 5
    expect(page.get_by_text(f"{len(session.as_written.inside.things)} things inside")).to_be_visible()
    cut.fill("0")
    assert (np.abs(settled_picture(page) - whole).max(axis=2) > 24).mean() < 0.0005


def test_the_picture_rests_when_nothing_changes(open_page: OpenPage) -> None:
    counter = """
        window.drawn = 0;
        const draw = WebGL2RenderingContext.prototype.drawElements;
        WebGL2RenderingContext.prototype.drawElements = function (...given) {
            window.drawn += 1;
            return draw.apply(this, given);
        };
    """
    page = open_page(prepare=lambda page: page.add_init_script(counter))
    settled_picture(page)
    at_rest = page.evaluate("window.drawn")
    assert at_rest > 0
    page.wait_for_timeout(400)
    assert page.evaluate("window.drawn") == at_rest
    page.get_by_role("button", name="From above").click()
    settled_picture(page)
    assert page.evaluate("window.drawn") > at_rest


def tint_by_walls(page: Page) -> None:
    page.get_by_role("radio", name="what the walls have left").check()


def test_the_tint_is_switched_by_keyboard_and_changes_the_hull(open_page: OpenPage, session: Session) -> None:
    page = open_page()
    walls = json.loads(answer_text(session.as_written))["picture"]["walls"]
    before = settled_picture(page)
    wind = page.get_by_role("group", name="Tint the hull by").get_by_role(
        "radio", name="where the wind pushes"
    )
    expect(wind).to_be_checked()
    wind.focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("radio", name="what the walls have left")).to_be_checked()
    expect(page.get_by_role("img", name=walls["sentence"])).to_be_visible()
    assert (np.abs(settled_picture(page) - before).max(axis=2) > 24).mean() > 0.05
    page.keyboard.press("ArrowLeft")
    assert (np.abs(settled_picture(page) - before).max(axis=2) > 24).mean() < 0.0005


def test_the_keyboard_never_goes_behind_the_bar(open_page: OpenPage) -> None:
    page = open_page()
    page.get_by_role("region", name="Findings, worst first").get_by_role("button").first.focus()
    hidden = """() => {
        const bar = document.querySelector('[data-testid=glance]').getBoundingClientRect();
        const one = document.activeElement.getBoundingClientRect();
        return one.height > 0 && one.top < bar.bottom && one.bottom > bar.top;
    }"""
    for _ in range(15):
        # Where a reader may have scrolled to: what comes next going back stands at the very top.
        page.keyboard.press("Shift+Tab")
        page.evaluate("window.scrollBy(0, document.activeElement.getBoundingClientRect().top)")
        page.keyboard.press("Tab")
        page.keyboard.press("Shift+Tab")
        assert not page.evaluate(hidden), page.evaluate("document.activeElement.outerHTML")


def test_the_weakest_places_stand_in_words(open_page: OpenPage, session: Session) -> None:
    page = open_page()
    tint_by_walls(page)
    walls = json.loads(answer_text(session.as_written))["picture"]["walls"]
    rows = page.get_by_role("list", name="Weakest first").get_by_role("listitem")
    said = [f"{one['reserve']} at {one['where']}: {one['what']}, {one['case']}" for one in walls["weakest"]]
    expect(rows).to_have_text(said)
    legend = page.get_by_role("list", name="Colours of the hull, strength over load").get_by_role("listitem")
    expect(legend).to_have_text([*walls["bands"], "rings: not known"])


def test_what_the_walls_have_left_follows_the_slider(open_page: OpenPage, session: Session) -> None:
    page = open_page()
    tint_by_walls(page)
    rows = page.get_by_role("list", name="Weakest first").get_by_role("listitem")
    written = rows.all_inner_texts()
    with page.expect_response("**/api/what-if") as answered:
        ballast_slider(page, session).press("End")
    walls = answered.value.json()["picture"]["walls"]
    expect(rows.first).to_contain_text(walls["weakest"][0]["reserve"])
    assert rows.all_inner_texts() != written
    expect(page.get_by_role("status")).to_contain_text(walls["sentence"])


def test_a_hull_nobody_knows_carries_rings(open_page: OpenPage, session: Session) -> None:
    def blank(route: Route) -> None:
        told = route.fetch().json()
        walls = told["answer"]["picture"]["walls"]
        length_m = told["answer"]["picture"]["length_m"]
        walls["stretches"] = [{"from_m": 0.0, "to_m": length_m, "band": None}]
        walls["weakest"] = []
        route.fulfill(json=told)

    page = open_page(prepare=lambda page: page.route("**/api/vehicle", blank))
    tint_by_walls(page)
    # Along a line just above the axis: rings of two shades, so many steps between light and dark.
    picture = settled_picture(page).mean(axis=2)
    row = picture[picture.shape[0] // 2]
    assert (np.abs(np.diff(row)) > 60).sum() > 20
    expect(page.get_by_text("least left here")).to_have_count(0)


def test_a_keyboard_reaches_everything_in_reading_order(open_page: OpenPage) -> None:
    page = open_page()
    names: list[str] = []
    for _ in range(26):
        page.keyboard.press("Tab")
        names.append(
            page.evaluate("document.activeElement.labels?.[0]?.innerText ?? document.activeElement.innerText")
        )
    assert names[0] == "Skip to the findings"
    assert names[1:4] == ["Show US units", "Keys ?", "Save a copy to send"]
    assert names[4:6] == ["Roll one way", "Roll the other"]
    assert "where the wind pushes" in names
    assert "fin span" in [name.casefold() for name in names]
    page.get_by_role("link", name="Skip to the findings").press("Enter")
    expect(page.get_by_role("heading", name="Findings, worst first")).to_be_focused()


def test_only_the_newest_of_the_waiting_values_is_asked(open_page: OpenPage, session: Session) -> None:
    page = open_page()
    held: list[Route] = []
    page.route("**/api/what-if", lambda route: held.append(route))
    slider = ballast_slider(page, session)
    for _ in range(10):
        slider.press("ArrowRight")
    page.wait_for_timeout(200)
    assert len(held) == 1
    with page.expect_request("**/api/what-if") as second:
        held[0].continue_()
    asked = second.value.post_data_json["ballast"]
    (name,) = (control["name"] for control in vehicle_payload(session.as_written)["ballast"][:1])
    assert asked[name] == pytest.approx(float(slider.input_value()))
    page.wait_for_timeout(100)
    held[1].continue_()
    expect(page.locator("[data-key=mass] .was")).to_be_visible()
    assert len(held) == 2


def test_a_refusal_is_shown_and_read_out(open_page: OpenPage, faults: list[str], session: Session) -> None:
    page = open_page()
    page.route(
        "**/api/what-if", lambda route: route.fulfill(status=422, json={"error": "the flight gave up"})
    )
    ballast_slider(page, session).press("End")
    expect(page.get_by_role("alert")).to_have_text("the flight gave up")
    page.unroute("**/api/what-if")
    ballast_slider(page, session).press("Home")
    expect(page.get_by_role("alert")).to_have_count(0)
    assert len(faults) == 1
    assert "422" in faults.pop()


def test_without_webgl_the_words_remain(open_page: OpenPage, faults: list[str]) -> None:
    no_webgl = (
        "HTMLCanvasElement.prototype.getContext = ((get) => function (kind, ...more) {"
        " return kind.startsWith('webgl') ? null : get.call(this, kind, ...more); })("
        "HTMLCanvasElement.prototype.getContext);"
    )
    page = open_page(prepare=lambda page: page.add_init_script(no_webgl))
    expect(page.get_by_text("This browser shows no 3-D picture here")).to_be_visible()
    expect(page.get_by_text("it balances").first).to_be_visible()
    assert all("WebGL" in fault for fault in faults)
    faults.clear()


@pytest.fixture(scope="module")
def axe() -> str:
    """Source of axe-core, which the front end's lock file pins."""
    script = ROOT / "frontend" / "node_modules" / "axe-core" / "axe.min.js"
    if not script.is_file():
        spec = importlib.util.spec_from_file_location("hatch_build", ROOT / "hatch_build.py")
        assert spec is not None
        assert spec.loader is not None
        hook = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(hook)
        hook.install_packages(ROOT / "frontend")
    return script.read_text(encoding="utf-8")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 390])
def test_axe_finds_no_violation(
    open_page: OpenPage, axe: str, scheme: str, width: int, session: Session
) -> None:
    """The whole page once; of the other tints the picture's part, which alone is another then."""
    page = open_page(color_scheme=scheme, viewport={"width": width, "height": 900})
    ballast_slider(page, session).press("Home")
    expect(page.locator("[data-key=mass] .was")).to_be_visible()
    page.evaluate(axe)
    for tint, part in (
        ("how the tunnel's air presses", "document"),
        ("what the walls have left", PICTURE),
        ("where the wind pushes", PICTURE),
    ):
        page.get_by_role("radio", name=tint).check()
        page.evaluate("document.querySelectorAll('details').forEach((part) => (part.open = true))")
        found = page.evaluate(f"axe.run({part}, {{ resultTypes: ['violations'] }})")
        assert len(found["passes"]) > 10, tint
        faults = [(fault["id"], [node["html"] for node in fault["nodes"]]) for fault in found["violations"]]
        assert faults == [], tint


@pytest.mark.parametrize("width", [320, 390, 768])
def test_nothing_runs_out_of_a_narrow_page(open_page: OpenPage, width: int) -> None:
    page = open_page(viewport={"width": width, "height": 800})
    tint_by_walls(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_words_in_tables_and_pictures_can_be_read_on_a_phone(open_page: OpenPage, axe: str) -> None:
    page = open_page(viewport={"width": 390, "height": 844})
    carried = page.get_by_role("group", name="Table: What it carries there").get_by_role("cell").first
    carried.wait_for()
    assert carried.bounding_box()["width"] > 110
    section = page.get_by_role("region", name="The inside, true to scale")
    picture = section.get_by_role("img", name="Cut along the axis").first
    # Drawn for a page of 170 mm, it keeps that size and scrolls in its box.
    assert picture.bounding_box()["width"] > 600
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert (
        section.get_by_role("group", name="Picture, wider than the screen").get_attribute("tabindex") == "0"
    )
    page.evaluate(axe)
    found = page.evaluate("axe.run('[aria-labelledby=inside-title]', { resultTypes: ['violations'] })")
    assert [one["id"] for one in found["violations"]] == []


def test_dark_and_light_differ(open_page: OpenPage) -> None:
    means = [pixels(open_page(color_scheme=scheme)).mean() for scheme in ("light", "dark")]
    assert means[0] > 180
    assert means[1] < 80


def test_the_inside_is_a_picture_with_words(open_page: OpenPage, session: Session) -> None:
    page = open_page()
    drawn = page.get_by_role("region", name="The inside, true to scale").get_by_role("img")
    expect(drawn).to_have_attribute("alt", vehicle_payload(session.as_written)["inside"]["says"])
    page.wait_for_function("(image) => image.complete && image.naturalWidth > 0", arg=drawn.element_handle())
