"""The section through the vehicle measured back: outline, scale, places, and numbers that keep apart."""

import importlib.util
import math
import random
import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import shapely

from finial.assemble.inside.results import Meeting
from finial.assemble.looks.answer import StageResults, answer
from finial.core.estimates import exact
from finial.findings.check import load
from finial.inside.profile import silhouette, telling_roll
from finial.inside.things import Kind, Thing
from finial.report.pictures.balloons import Balloon, placed_balloons
from finial.report.pictures.card_section import card_section
from finial.report.pictures.inside_section import across_words, inside_section
from finial.report.shown import Shown

ROOT = Path(__file__).parents[2]
SVG = "{http://www.w3.org/2000/svg}"
EXAMPLES = ("skerry-light", "buoy-tiers", "pagoda", "phone-box")
ODD = ("teapot", "arch", "twin-towers", "statue")
MOTOR_FILL = "#d9a184"


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, StageResults]:
    spec = importlib.util.spec_from_file_location("odd", ROOT / "tests" / "defects" / "odd_shapes.py")
    odd_shapes = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(odd_shapes)
    sheets = odd_shapes.written(tmp_path_factory.mktemp("odd"))
    sheets |= {name: ROOT / "examples" / name / f"{name}.toml" for name in EXAMPLES}
    return {name: answer(load(path)) for name, path in sheets.items()}


def parsed(svg: str) -> tuple[ElementTree.Element, dict[str, ElementTree.Element]]:
    root = ElementTree.fromstring(svg)
    return root, {node.get("id"): node for node in root.iter() if node.get("id")}


def shadow(told: StageResults, roll: float) -> shapely.Geometry:
    """Union of all triangles of the outside, seen from the side: the slow way that needs no sections."""
    flat = []
    for part in told.vehicle.parts:
        if part.spec.outside:
            corners = part.mended.mesh.triangles_m
            across = corners[..., 1] * math.cos(roll) + corners[..., 2] * math.sin(roll)
            flat.append(np.stack([-corners[..., 0], across], axis=-1))
    triangles = shapely.polygons(np.concatenate(flat))
    return shapely.union_all(shapely.buffer(triangles[shapely.area(triangles) > 1e-12], 1e-6))


@pytest.mark.parametrize("name", [*EXAMPLES, *ODD])
def test_the_outline_is_the_shadow_of_the_mesh(answers, name):
    told = answers[name]
    roll = telling_roll(told.inside.cavity, told.inside.things)
    seen, drawn = shadow(told, roll), silhouette(told.inside.cavity, roll)
    apart = shapely.symmetric_difference(seen, drawn)
    assert apart.area < 0.01 * seen.area
    # Nowhere farther off than the space of two cuts.
    assert shapely.is_empty(shapely.buffer(apart, -0.5 * told.vehicle.skin.length_m / 200))


def test_the_hole_of_a_handle_is_seen_and_so_is_the_spout(answers):
    told = answers["teapot"]
    seen, drawn = shadow(told, 0.0), silhouette(told.inside.cavity, 0.0)
    [hole], [open_] = seen.interiors, drawn.interiors
    assert shapely.Polygon(open_).area == pytest.approx(shapely.Polygon(hole).area, rel=0.02)
    assert shapely.contains(
        drawn, shapely.Point(0.640 - 0.380, 0.222)
    )  # in the spout, drawn up to z = 395 mm
    assert not shapely.contains(drawn, shapely.Point(0.640 - 0.380, 0.170))  # between spout and pot


def test_two_towers_leave_air_between_them(answers):
    drawn = silhouette(answers["twin-towers"].inside.cavity, 0.0)
    assert len(drawn.interiors) == 1
    assert not shapely.contains(drawn, shapely.Point(0.15, 0.0))
    assert shapely.contains(drawn, shapely.Point(0.35, 0.0))  # the bridge


def scale_of(marks: dict[str, ElementTree.Element]) -> tuple[float, float]:
    """Millimetres on paper of the tip, and of a metre, from the ruler's own ticks."""
    prefix = "inside-section-station-"
    ticks = [
        (float(i.removeprefix(prefix)), float(n.get("data-x")))
        for i, n in marks.items()
        if i.startswith(prefix)
    ]
    slope, offset = np.polyfit(*np.array(ticks).T, 1)
    return offset, 1000 * slope


@pytest.mark.parametrize("name", [*EXAMPLES, *ODD])
def test_ruler_bar_and_things_share_one_scale(answers, name):
    told = answers[name]
    root, marks = parsed(inside_section(told.inside, told.shape.fins))
    tip_mm, per_m = scale_of(marks)
    bar = marks["inside-section-bar"]
    drawn_mm = float(bar.get("x2")) - float(bar.get("x1"))
    assert drawn_mm == pytest.approx(float(bar.get("data-length-m")) * per_m, abs=0.02)
    motors = [one for one in told.inside.things if one.kind is Kind.MOTOR]
    paths = [node for node in root.iter(f"{SVG}path") if node.get("fill") == MOTOR_FILL]
    assert len(paths) == len(motors)
    for path in paths:
        x, y = np.array(
            [pair.split() for pair in path.get("d").strip("MZ ").replace("M", "").split(" L")], float
        ).T
        assert (x.min() - tip_mm) / per_m == pytest.approx(motors[0].span_m[0], abs=0.2e-3)
        assert (x.max() - tip_mm) / per_m == pytest.approx(motors[0].span_m[1], abs=0.2e-3)
        assert np.ptp(y) / per_m == pytest.approx(motors[0].across_m, rel=0.004)


@pytest.mark.parametrize("name", [*EXAMPLES, *ODD])
def test_the_officers_section_is_drawn_at_the_scale_it_states(answers, name):
    told = answers[name]
    worst = min(told.stability, key=lambda point: point.margin.low)
    root, marks = parsed(card_section(told.inside, told.shape.fins, worst))
    assert root.get("width") == "170mm"
    (scale,) = re.findall(r">drawn 1 : (\d+)<", card_section(told.inside, told.shape.fins, worst))
    ticks = {
        float(key.rpartition("-")[2]): float(node.get("data-x"))
        for key, node in marks.items()
        if key.startswith("card-section-station-")
    }
    first, last = min(ticks), max(ticks)
    assert (last - first) / (ticks[last] - ticks[first]) == pytest.approx(int(scale), rel=1e-3)
    bob = float(marks["card-section-balance"].get("data-x"))
    assert (bob - ticks[first]) * int(scale) + first == pytest.approx(1e3 * worst.balance.value, abs=0.2)
    assert float(root.get("height").removesuffix("mm")) < 105.0


@pytest.mark.parametrize("name", [*EXAMPLES, *ODD])
def test_numbers_and_words_keep_apart_and_on_the_paper(answers, name):
    told = answers[name]
    root, marks = parsed(inside_section(told.inside, told.shape.fins))
    _, _, width, height = map(float, root.get("viewBox").split())
    rings = [n for n in marks["inside-section-balloons"].iter(f"{SVG}circle") if float(n.get("r")) > 1.0]
    told_of = {thing.name for thing in told.inside.things if thing.kind not in (Kind.NUT, Kind.EYE)}
    assert len(rings) == len(told_of)
    centres = np.array([(float(n.get("cx")), float(n.get("cy"))) for n in rings])
    apart = np.linalg.norm(centres[:, None] - centres[None], axis=-1) + 99 * np.eye(len(rings))
    assert apart.min() > 2 * float(rings[0].get("r"))
    key = [
        (float(n.get("x")), float(n.get("y")), n.text) for n in marks["inside-section-key"].iter(f"{SVG}text")
    ]
    assert max(y for _, y, _ in key) < height
    assert max(len(text) for _, _, text in key) <= 54
    for _, y, text in key:
        assert 0.0 < y < height, text
    assert centres.min() > 0.0
    assert centres[:, 0].max() < width


def test_forty_crowded_numbers_still_keep_apart():
    draw = random.Random(7)
    every = [
        Balloon(text=str(k), target=(draw.gauss(60, 8), draw.gauss(40, 9)), slide=(0.0, 170.0))
        for k in range(80)
    ]
    centres = np.array([one.at for one in placed_balloons(every, 9.0, 80.0, 170.0)])
    apart = np.linalg.norm(centres[:, None] - centres[None], axis=-1) + 99 * np.eye(80)
    assert len(centres) == 80
    assert apart.min() > 3.8
    assert (centres[:, 0] >= 2.9).all()
    assert (centres[:, 0] <= 167.1).all()


@pytest.mark.parametrize(("us_units", "unit"), [(False, " mm"), (True, " in")])
def test_the_description_names_everything_inside(answers, us_units, unit):
    told = answers["phone-box"]
    root, marks = parsed(inside_section(told.inside, told.shape.fins, us_units=us_units))
    says = root.findtext(f"{SVG}desc")
    assert root.findtext(f"{SVG}title") == "Section through the vehicle"
    assert root.get("role") == "img"
    assert set(root.get("aria-labelledby").split()) <= set(marks)
    assert [thing.name for thing in told.inside.things if thing.name not in says] == []
    assert unit in says
    assert "roll 90 degrees" in says  # where both sleds are cut


def test_a_given_roll_angle_is_drawn(answers):
    told = answers["phone-box"]
    svg = inside_section(told.inside, told.shape.fins, roll_rad=0.0)
    assert "roll 0 degrees" in parsed(svg)[0].findtext(f"{SVG}desc")


def test_the_small_is_drawn_over_the_large_and_all_over_bays(answers):
    told = answers["phone-box"]
    thing = Thing(name="small", kind=Kind.OTHER, middle_m=0.5, length_m=0.02, across_m=0.02)
    large = replace(thing, name="large", length_m=0.06, across_m=0.06)
    bay = replace(thing, name="bay", kind=Kind.BAY, length_m=0.04, across_m=0.04)
    inside = replace(told.inside, things=(thing, large, bay))
    _, marks = parsed(inside_section(inside, (), roll_rad=0.0))
    _, per_m = scale_of(marks)
    drawn = [node.get("d") for node in marks["inside-section-things"].iter(f"{SVG}path")]
    xs = [[float(pair.split()[0]) for pair in one.strip("MZ ").replace("M", "").split(" L")] for one in drawn]
    assert [round(np.ptp(x) / per_m, 3) for x in xs] == [0.04, 0.06, 0.02]


def test_what_stands_in_something_else_is_ringed(answers):
    told = answers["buoy-tiers"]
    assert "inside-section-hits" not in parsed(inside_section(told.inside, told.shape.fins))[1]
    hit = Meeting(first="Demo K500", second="mast bay", gap=exact(-0.06), station_m=0.4, with_part=False)
    inside = replace(told.inside, meetings=(hit,))
    _, marks = parsed(inside_section(inside, told.shape.fins))
    tip_mm, per_m = scale_of(marks)
    [ring] = marks["inside-section-hits"].iter(f"{SVG}circle")
    assert (float(ring.get("cx")) - tip_mm) / per_m == pytest.approx(0.4, abs=1e-3)


def test_a_name_from_the_sheet_is_text_and_never_markup(answers):
    told = answers["buoy-tiers"]
    odd = Thing(
        name='<script>alert("x")</script>', kind=Kind.OTHER, middle_m=0.5, length_m=0.01, across_m=0.01
    )
    inside = replace(told.inside, things=(*told.inside.things, odd))
    root, _ = parsed(inside_section(inside, ()))
    assert [node for node in root.iter() if node.tag.endswith("script")] == []
    assert "<script>" in root.findtext(f"{SVG}desc")


def test_numbers_stand_on_their_own_side_unless_one_row_would_be_much_longer():
    def rows(*heights: float) -> tuple[int, int]:
        every = [
            Balloon(text=str(k), target=(20.0 * k + 20.0, y), slide=(0.0, 170.0))
            for k, y in enumerate(heights)
        ]
        above = [one for one in placed_balloons(every, 20.0, 80.0, 170.0) if one.at[1] < 50.0]
        return len(above), len(heights) - len(above)

    assert rows(30.0, 40.0, 60.0, 65.0, 70.0) == (2, 3), "the third points below the middle and stays there"
    assert rows(60.0, 62.0, 65.0, 70.0, 72.0, 74.0) == (3, 3), "six on one side are shared out"
    assert rows(60.0, 70.0) == (0, 2)
    assert rows(30.0, 70.0) == (1, 1)


def test_a_box_is_told_by_both_sides_and_a_round_thing_by_one():
    shown = Shown(us_units=False)
    round_ = Thing(name="rod", kind=Kind.ROD, middle_m=0.5, length_m=0.1, across_m=0.006)
    sled = replace(round_, kind=Kind.SLED, across_m=0.06, depth_m=0.01)
    assert across_words(round_, shown) == "6 mm across"
    assert across_words(sled, shown) == "60 by 10 mm"
