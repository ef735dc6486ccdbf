"""Photos of a facade marked on the page: by keyboard, pointer and table; read with errors; sent to tiers."""

import math
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw
from playwright.sync_api import Locator, Page, expect

from finial.web.drafts.photos import photos_draft

from .test_page import axe

__all__ = ["axe"]
OpenPage = Callable[..., Page]
READ_MS = 20_000
SIZE = (1600, 1200)
CORNERS = ("lower left", "lower right", "upper right", "upper left")


def seen(*points_m: tuple[float, float]) -> list[tuple[int, int]]:
    """Pixels of places on a facade, in a pinhole camera of 1200 pixels' focal length that looks aside."""
    cos, sin = math.cos(0.5), math.sin(0.5)
    turn = np.array([[1, 0, 0], [0, 0.98, -0.199], [0, 0.199, 0.98]])
    turn = turn @ np.array([[cos, 0, -sin], [0, 1, 0], [sin, 0, cos]])
    there = (np.array([(x, y, 0.0) for x, y in points_m]) - (1.0, 2.0, -20.0)) @ turn.T
    places = np.array([800.0, 600.0]) + 1200.0 * there[:, :2] / there[:, 2:] * (1.0, -1.0)
    return [(int(x), int(y)) for x, y in places.round().tolist()]


FACADE = seen((0, 0), (6, 0), (6, 9), (0, 9))


@pytest.fixture(scope="module")
def picture(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An invented facade of 6 by 9 m with a door, as that camera sees it."""
    drawn = Image.new("RGB", SIZE, "#b9cfe0")
    pen = ImageDraw.Draw(drawn)
    pen.polygon(FACADE, fill="#d9c9a8", outline="#5a4a30")
    pen.polygon(seen((2, 0), (4, 0), (4, 3), (2, 3)), fill="#5a4a30")
    path = tmp_path_factory.mktemp("photos") / "from the quay.png"
    drawn.save(path)
    return path


@pytest.fixture(scope="module")
def marks(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("marks") / "marks.toml"


@pytest.fixture
def address(marks: Path, served) -> Iterator[str]:
    with served(photos_draft(marks)) as told:
        yield told


def mark(page: Page, name: str) -> Locator:
    return page.get_by_role("button", name=re.compile(f"^{re.escape(name)}: "))


def put(page: Page, name: str, at: tuple[int, int]) -> None:
    """Type where a mark lies into the table beside the picture."""
    for axis, value in zip(("right", "down"), at, strict=True):
        page.get_by_role("spinbutton", name=f"{name}, {axis}", exact=True).fill(str(value))


def begin(page: Page, picture: Path) -> None:
    page.get_by_label("Add photos").set_input_files(picture)
    expect(page.get_by_role("heading", name="from the quay")).to_be_visible(timeout=READ_MS)
    expect(page.get_by_text("Every mark as a table")).to_be_visible()
    page.get_by_text("Every mark as a table").click()
    for name, at in zip(CORNERS, FACADE, strict=True):
        put(page, f"{name} corner", at)
    put(page, "the known length, mark 1", FACADE[0])
    put(page, "the known length, mark 2", FACADE[1])
    put(page, "height, mark 1", FACADE[0])
    put(page, "height, mark 2", FACADE[3])
    page.get_by_label("length", exact=True).fill("6 m +- 1 cm")


NINE = re.compile(r"height(8\.9|9\.0|9\.1)\d* m")
"""The facade is 9 m high; its marks are whole pixels of about a centimetre."""


def height(page: Page) -> Locator:
    return page.get_by_role("group", name="Table: Lengths").get_by_role("row", name=re.compile("^height"))


def test_marks_by_keyboard_tell_the_height_and_become_a_tower(
    open_page: OpenPage, picture: Path, marks: Path
) -> None:
    page = open_page()
    begin(page, picture)
    expect(page.get_by_test_id("headline")).to_have_text("Read off: height.", timeout=READ_MS)
    expect(height(page)).to_contain_text(NINE, timeout=READ_MS)
    # Arrow keys move a mark by a pixel, with Shift by ten, and what is read follows.
    top = mark(page, "height, mark 2")
    top.focus()
    for _ in range(5):
        page.keyboard.press("Shift+ArrowDown")
    page.keyboard.press("ArrowLeft")
    x, y = FACADE[3]
    expect(mark(page, "height, mark 2")).to_have_attribute(
        "aria-label", f"height, mark 2: {x - 1} right, {y + 50} down. Arrow keys move it"
    )
    expect(page.get_by_text(f"[{x - 1}, {y + 50}]")).to_have_count(1, timeout=READ_MS)
    expect(height(page)).not_to_contain_text(NINE, timeout=READ_MS)
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text(f"[{x - 1}, {y + 50}]")).to_have_count(0, timeout=READ_MS)
    expect(height(page)).to_contain_text(NINE, timeout=READ_MS)
    page.get_by_role("button", name="Add a storey in from the quay").click()
    expect(page.get_by_test_id("headline")).to_contain_text("Not read", timeout=READ_MS)
    page.get_by_label("outline", exact=True).fill("square")
    expect(page.get_by_test_id("headline")).to_have_text("Read off: height, storey 1.", timeout=READ_MS)
    for name, at in zip(CORNERS, FACADE, strict=True):
        put(page, f"storey 1, {name} corner", at)
    expect(page.get_by_role("group", name="Table: Storeys")).to_be_visible(timeout=READ_MS)
    page.get_by_label("Height of the model").fill("300 mm")
    send = page.get_by_role("button", name="Draw a tower of them")
    expect(send).to_be_enabled(timeout=READ_MS)
    send.click()
    # The same page goes on with the drawing.
    expect(page.get_by_test_id("headline")).to_contain_text("300 mm high", timeout=READ_MS)
    expect(page.get_by_text("marks-tower.toml").first).to_be_visible()
    assert 'outline = "square"' in marks.with_name("marks-tower.toml").read_text(encoding="utf-8")
    assert "from the quay" in marks.read_text(encoding="utf-8")


def test_a_mark_is_dragged_and_its_picture_is_there_again_after_a_reload(
    open_page: OpenPage, picture: Path, marks: Path
) -> None:
    marks.unlink(missing_ok=True)
    page = open_page()
    begin(page, picture)
    expect(page.get_by_test_id("headline")).to_have_text("Read off: height.", timeout=READ_MS)
    expect(height(page)).to_contain_text(NINE, timeout=READ_MS)
    page.get_by_role("button", name="Save marks.toml").click()
    expect(page.get_by_text("Saved as marks.toml.")).to_be_visible(timeout=READ_MS)
    page.reload()
    expect(page.get_by_test_id("headline")).to_have_text("Read off: height.", timeout=READ_MS)
    # The picture was kept in this browser: nobody chooses it anew.
    expect(page.get_by_role("img", name=re.compile("^from the quay, with"))).to_be_visible(timeout=READ_MS)
    expect(page.get_by_label("Choose its picture again")).to_have_count(0)
    corner = mark(page, "upper right corner")
    corner.scroll_into_view_if_needed()
    box = corner.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2 + 40, box["y"] + box["height"] / 2 + 20, steps=4)
    page.mouse.up()
    expect(page.get_by_role("button", name="Undo")).to_be_enabled(timeout=READ_MS)
    told = re.search(
        r": (\d+) right, (\d+) down", mark(page, "upper right corner").get_attribute("aria-label")
    )
    assert int(told[1]) > FACADE[2][0] + 40
    assert int(told[2]) > FACADE[2][1] + 20


@pytest.mark.parametrize(("scheme", "width"), [("light", 1280), ("dark", 390)])
def test_axe_finds_no_violation_and_nothing_runs_out(
    open_page: OpenPage, axe: str, picture: Path, marks: Path, scheme: str, width: int
) -> None:
    marks.unlink(missing_ok=True)
    page = open_page(color_scheme=scheme, viewport={"width": width, "height": 844})
    page.evaluate(axe)
    for told in ("Choose a photo", "Read off: height."):
        expect(page.get_by_test_id("headline")).to_contain_text(told, timeout=READ_MS)
        page.evaluate("document.querySelectorAll('details').forEach((part) => (part.open = true))")
        found = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")
        assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found["violations"]] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        if told.startswith("Choose"):
            begin(page, picture)
