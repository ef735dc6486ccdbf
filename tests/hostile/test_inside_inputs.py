"""Odd things said of the inside: pressed in, two cavities or none, no size, mixed units: nothing is lost."""

import importlib.util
import math
import shutil
from pathlib import Path

import numpy as np
import pytest
from told import report_text

from finial.assemble.inside.results import Size
from finial.assemble.looks.answer import StageResults, answer
from finial.core.errors import BuildSheetError
from finial.findings.check import load, readiness
from finial.findings.finding import Finding
from finial.findings.limits import Limits
from finial.findings.readiness import Depth
from finial.findings.rules.inside_rules import inside_findings

ROOT = Path(__file__).parents[2]
BUOY = ROOT / "examples" / "buoy-tiers"
BAY_TUBE = 'across = "93 mm"\nbore = "90 mm"\nlength = "252 mm"'
HOLES_OF_THE_TOPMARK = """bores = [
  { stations = ["70 mm", "171 mm"], across = "52 mm" },          # room for the ballast: tiers show no holes
  { stations = ["171 mm", "176 mm"], across = "88.7 mm" },       # the bulkhead, under a floor of 1 mm
]
"""


@pytest.fixture
def buoy(tmp_path: Path):
    """Path of a copy of the buoy with some places of its sheet written otherwise."""

    def written(*changes: tuple[str, str]) -> Path:
        folder = tmp_path / "buoy"
        shutil.copytree(BUOY, folder)
        sheet = folder / "buoy-tiers.toml"
        text = sheet.read_text(encoding="utf-8")
        for before, after in changes:
            assert text.count(before) >= 1, f"{before!r} must stand in the sheet"
            text = text.replace(before, after, 1)
        sheet.write_text(text, encoding="utf-8")
        return sheet

    return written


def judged(found: StageResults) -> list[Finding]:
    return inside_findings(found.inside, found.buttons, Limits(own={}))


def hits(found: StageResults) -> set[tuple[str, str]]:
    return {(one.subject.name, one.facts["other"]) for one in judged(found) if "other" in one.facts}


# ---------------------------------------------------------------- pressed in on purpose


@pytest.mark.parametrize(("pressed_in", "fits"), [("", False), ('\npressed_in = "0.5 mm"', True)])
def test_what_is_pressed_in_may_be_wider_than_its_seat_by_that(buoy, pressed_in, fits):
    # A tube of 94.6 mm in a hole of 94 mm: 0.3 mm too wide on the radius.
    tube = BAY_TUBE.replace("93 mm", "94.6 mm") + pressed_in
    found = answer(load(buoy((BAY_TUBE, tube))))
    assert (("bay tube", "daymark tower") in hits(found)) is not fits


def test_no_more_than_that(buoy):
    tube = BAY_TUBE.replace("93 mm", "96 mm") + '\npressed_in = "0.5 mm"'
    assert ("bay tube", "daymark tower") in hits(answer(load(buoy((BAY_TUBE, tube)))))


@pytest.mark.parametrize(("end", "fits"), [("175.8 mm", True), ("176 mm", True), ("175.4 mm", False)])
def test_a_hole_that_ends_a_rounding_short_of_its_part_goes_through(buoy, end, fits):
    """0.3 in are 7.62 mm: a skin of print thinner than a layer is meant by nobody; one of 0.6 mm may be."""
    found = answer(load(buoy(('["171 mm", "176 mm"]', f'["171 mm", "{end}"]'))))
    assert (("bulkhead and eye bolt", "topmark") not in hits(found)) is fits


@pytest.mark.parametrize("given", ['"-0.5 mm"', '"40 mm"', "0.5"])
def test_a_press_that_none_is_is_refused_by_its_field(buoy, given):
    with pytest.raises(BuildSheetError, match=r"item\[3\]\.pressed_in"):
        load(buoy((BAY_TUBE, f"{BAY_TUBE}\npressed_in = {given}")))


# ---------------------------------------------------------------- cavities: two, none


@pytest.fixture(scope="module")
def statue(tmp_path_factory: pytest.TempPathFactory) -> StageResults:
    spec = importlib.util.spec_from_file_location("odd", ROOT / "tests" / "defects" / "odd_shapes.py")
    odd_shapes = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(odd_shapes)
    return answer(load(odd_shapes.written(tmp_path_factory.mktemp("odd"))["statue"]))


def test_a_mesh_with_two_cavities_gives_both_rooms(statue):
    import shapely

    cavity = statue.inside.cavity
    at = int(np.abs(cavity.stations_m - 0.1265).argmin())
    # The pocket in the arm, 26 mm across and leaning 34.3 degrees: 26 mm by 26 / cos in a cut across.
    pocket = math.pi / 4 * 0.026**2 / math.cos(math.radians(34.3))
    assert shapely.area(cavity.free[at]) == pytest.approx(pocket, rel=0.02)
    below = int(np.abs(cavity.stations_m - 0.25).argmin())
    assert shapely.area(cavity.free[below]) == pytest.approx(math.pi / 4 * 0.060**2, rel=0.02)
    assert hits(statue) == set()


def test_a_mesh_without_a_cavity_has_no_room(buoy):
    found = answer(load(buoy((HOLES_OF_THE_TOPMARK, ""))))
    assert {("steel ballast", "topmark"), ("bulkhead and eye bolt", "topmark")} <= hits(found)


def test_a_print_without_infill_is_room_within_its_walls(buoy):
    hollow = answer(load(buoy((HOLES_OF_THE_TOPMARK, ""), ('infill = "12 %"', 'infill = "0 %"'))))
    # Walls of 2.4 mm leave 55.2 mm of the neck's 60 for the bar of 51: it stands free, and is shut in.
    assert ("steel ballast", "topmark") not in hits(hollow)
    shut = {one.subject.name for one in judged(hollow) if one.key == "gets-in"}
    assert "steel ballast" in shut


# ---------------------------------------------------------------- no size, and mixed units


def test_an_item_without_a_size_takes_the_room_of_its_mass_and_that_is_said(buoy):
    sheet = buoy(('across = "51 mm"\nmaterial = "steel"', ""))
    found = answer(load(sheet))
    [taken] = [one for one in found.inside.taken if one.thing == "steel ballast"]
    assert taken.size is Size.ROOM
    # 1.1 kg at 1,000 to 11,340 kg/m3, whatever ballast may be made of.
    assert taken.value.low == pytest.approx(1.095 / 11340.0, rel=0.01)
    told = readiness(load(sheet), depth=Depth.QUICK)
    [sizes] = [one for one in told.findings if one.key == "sizes-given"]
    assert sizes.verdict.words == "caution"
    assert "Sizes not in the sheet were taken for:" in report_text(told)
    assert "steel ballast" in report_text(told).split("Sizes not in the sheet were taken for:")[1][:120]


def test_with_its_material_alone_the_room_is_mass_over_density(buoy):
    found = answer(load(buoy(('across = "51 mm"\nmaterial = "steel"', 'material = "steel"'))))
    [taken] = [one for one in found.inside.taken if one.thing == "steel ballast"]
    assert taken.value.value == pytest.approx(1.1 / 7850.0, rel=0.01)
    ballast = next(one for one in found.inside.things if one.name == "steel ballast")
    assert ballast.volume_m3 == pytest.approx(taken.value.value)


def test_mixed_units_give_the_same_inside(buoy):
    inches = [("93 mm", 93), ("90 mm", 90), ("252 mm", 252)]
    tube = BAY_TUBE
    for written, millimetres in inches:
        tube = tube.replace(written, f"{millimetres / 25.4:.6f} in")
    mixed = answer(load(buoy((BAY_TUBE, tube), ('station = "304 mm"', 'station = "30.4 cm"'))))
    plain = answer(load(BUOY / "buoy-tiers.toml"))
    assert len(mixed.inside.things) == len(plain.inside.things)
    for one, other in zip(mixed.inside.things, plain.inside.things, strict=True):
        assert (one.name, one.kind) == (other.name, other.kind)
        assert one.span_m == pytest.approx(other.span_m, abs=1e-6)
        assert (one.across_m, one.bore_m) == pytest.approx((other.across_m, other.bore_m), abs=1e-6)
    assert hits(mixed) == hits(plain) == set()


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        (BAY_TUBE, BAY_TUBE.replace('"93 mm"', "93"), r"item\[3\]\.across"),
        (BAY_TUBE, BAY_TUBE.replace('"93 mm"', '"93 kg"'), r"item\[3\]\.across"),
        (BAY_TUBE, BAY_TUBE.replace('"90 mm"', '"90 in"'), "one of the two in another unit"),
        ('station = "304 mm"', 'station = "304 in"', "stations run aft from the tip"),
    ],
)
def test_a_unit_that_is_missing_or_another_is_said_by_field(buoy, before, after, told):
    with pytest.raises(BuildSheetError, match=told):
        load(buoy((before, after)))


# ---------------------------------------------------------------- a motor for a floor

RETAINER = 'stations = ["508 mm", "910 mm"] }'
TO_THE_MOTOR = (
    ('stations = ["178 mm", "430 mm"]', 'stations = ["178 mm", "505 mm"]'),
    ('station = "434 mm"', 'station = "173 mm"'),  # the floor: a second bulkhead ahead
    (BAY_TUBE, BAY_TUBE.replace("252 mm", "327 mm")),
)


@pytest.mark.parametrize(
    ("retainer", "verdict"),
    [
        ("", "not known"),
        ('retainer = { screw = "M2.5", count = 1, holds_in = "PETG", engagement = "3 mm" }', "no-go"),
        ('retainer = { screw = "M4", count = 3 }', None),
    ],
)
def test_a_motor_that_a_charge_pushes_on_needs_what_keeps_it_in(buoy, retainer, verdict):
    sheet = buoy(*TO_THE_MOTOR, (RETAINER, f"{RETAINER}\n{retainer}"))
    told = readiness(load(sheet), depth=Depth.QUICK)
    pushed = [
        one for one in told.findings if one.key == "motor-leaves" and one.subject.case == "charge-fires"
    ]
    assert [one.verdict.words for one in pushed if one.fails] == ([verdict] if verdict else [])
    assert all(one.subject.name == "Demo K500" for one in pushed)
