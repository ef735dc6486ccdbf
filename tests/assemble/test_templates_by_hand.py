"""What is drawn true to scale: strips round the body, outlines, fins, drills, and the cut along the axis."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import fin_entry, joint, part, quantity, rod

from finial.assemble.inside import cavity, lengthwise
from finial.assemble.vehicle import templates, wraps
from finial.files.sheet_body import BoreEntry
from finial.inside.things import Kind, Thing
from finial.shape.skin import Section

SQUARE = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])


def section(at=0.5, *loops):
    loops = loops or (SQUARE,)
    return Section(station_m=at, loops=loops, area_m2=0.01, perimeter_m=0.4, centroid_m=(0.0, 0.0))


@pytest.fixture
def square(monkeypatch):
    """A square of 100 mm beside a small one, 1.2 m long; the stations asked of it are kept."""
    asked = []
    small = 0.1 * SQUARE + np.array([0.03, 0.0])
    for module in (templates, wraps):
        monkeypatch.setattr(
            module, "section_at", lambda _skin, at: asked.append(at) or section(at, small, SQUARE)
        )
    return asked


def vehicle(**given):
    usual = {"recovery": SimpleNamespace(joint=()), "electronics": SimpleNamespace(port=()), "guide": None}
    sheet = SimpleNamespace(**(usual | {"rod": (), "fin": ()} | given))
    return SimpleNamespace(sheet=sheet, skin=SimpleNamespace(length_m=1.2))


def fin_set(**given):
    usual = {
        "name": "fins",
        "count": 3,
        "first_at_rad": math.pi / 2,
        "station_m": 0.9,
        "offset_m": (0.0, 0.0),
    }
    return SimpleNamespace(**(usual | {"root_m": np.array([0.01, 0.21])} | given))


# ------------------------------------------------------------------------------- strips


def test_a_strip_goes_round_the_outermost_outline_and_marks_lie_along_it(square, monkeypatch):
    monkeypatch.setattr(wraps, "fin_sets", lambda _vehicle: ())
    pinned = joint(pins={"screw": "M3 nylon", "count": 4}, station="300 mm")
    found = wraps.wrap_templates(vehicle(recovery=SimpleNamespace(joint=(joint(), pinned))))
    (strip,) = found
    assert (strip.name, strip.station_m, strip.girth_m) == ("joint", 0.3, pytest.approx(0.4))
    # A quarter of the way round is a quarter of the girth.
    assert np.diff(strip.along_m) == pytest.approx([0.1] * 3)
    assert [(mark.name, mark.hole_m) for mark in strip.marks] == [("M3 nylon", 0.0)] * 4
    assert [mark.roll_rad for mark in strip.marks] == pytest.approx(
        [0.0, math.pi / 2, math.pi, 3 * math.pi / 2]
    )


def test_ports_buttons_and_roots_have_a_strip_each(square, monkeypatch):
    sets = (fin_set(), fin_set(offset_m=(0.01, 0.0)), fin_set(root_m=np.empty(0)))
    monkeypatch.setattr(wraps, "fin_sets", lambda _vehicle: sets)
    port = SimpleNamespace(
        name="ports", station=quantity(0.7), holes=[quantity(0.003), quantity(0.004)], at=None
    )
    guide = SimpleNamespace(buttons=(quantity(0.6), quantity(1.3)), screw="M5", at=quantity(0.4))
    told = vehicle(electronics=SimpleNamespace(port=(port,)), guide=guide)
    ports, fore, aft, fins = wraps.wrap_templates(told)
    assert [mark.hole_m for mark in ports.marks] == [0.003, 0.004]
    assert [mark.roll_rad for mark in ports.marks] == pytest.approx([0.0, math.pi])
    assert (fore.name, fore.station_m, aft.station_m) == ("rail button", 0.6, 1.3)
    assert [(mark.roll_rad, mark.hole_m) for mark in fore.marks] == [(0.4, 0.005)]
    # The strip of a root lies amid it; beyond the base it is that of the base.
    assert (fins.name, fins.station_m) == ("fins", pytest.approx(1.01))
    assert [mark.roll_rad for mark in fins.marks] == pytest.approx(
        [math.pi / 2 + 2 * math.pi / 3 * number for number in range(3)]
    )
    assert square == [0.7, 0.6, 1.2, pytest.approx(1.01)]
    guide.screw, port.at = None, (quantity(0.2), quantity(1.0))
    ports, fore, *_ = wraps.wrap_templates(told)
    assert [(mark.roll_rad, mark.hole_m) for mark in ports.marks] == [(0.2, 0.003), (1.0, 0.004)]
    assert fore.marks[0].hole_m == 0.0


def test_the_outline_runs_aft_on_one_side_and_back_on_the_other():
    sections = (
        section(0.0, 0.5 * SQUARE),
        section(0.6, SQUARE, SQUARE + np.array([0.02, 0.0])),
        SimpleNamespace(loops=()),
    )
    skin = SimpleNamespace(sections=sections, length_m=1.2)
    outer, inner = part("tower"), part("sled")
    outer.spec.outside, inner.spec.outside = True, False
    sheet = SimpleNamespace(vehicle=SimpleNamespace(name="shape"))
    found = wraps.outline_template(SimpleNamespace(skin=skin, sheet=sheet, parts=(outer, inner)))
    drawn = np.array([[0.0, 0.025], [0.6, 0.07], [0.6, -0.05], [0.0, -0.025]])
    assert np.array(found.side_m) == pytest.approx(drawn)
    assert (found.name, found.length_m, found.parts) == ("shape", 1.2, (("tower", 0.2, 0.9),))


# ----------------------------------------------------------------------- fins and drills


@pytest.mark.parametrize(
    ("fixing", "depth_m"),
    [
        ({"kind": "tab", "depth": "12 mm"}, 0.012),
        ({"kind": "slot", "depth": "12 mm"}, 0.012),
        ({"kind": "fillet", "depth": "12 mm"}, 0.0),
        ({"kind": "slot"}, 0.0),
        ({}, 0.0),
    ],
)
def test_a_fin_s_tab_goes_in_along_its_whole_root(fixing, depth_m):
    plain = vehicle(fin=(fin_entry(), fin_entry(**fixing)))
    first, found = templates.fin_templates(plain)
    assert first.tab_m == ()
    assert (found.name, found.count, found.thickness_m, found.material) == ("fins", 3, 0.004, "polycarbonate")
    assert found.outline_m == ((0.01, 0.0), (0.1, 0.12), (0.2, 0.12), (0.21, 0.0))
    if depth_m:
        assert found.tab_m == ((0.01, 0.0), (0.01, -0.012), (0.21, -0.012), (0.21, 0.0))
    else:
        assert found.tab_m == ()


def test_rods_are_drilled_at_both_ends_in_the_outline_there(square):
    told = vehicle(rod=(rod(count=2, stations=["200 mm", "1.3 m"]),))
    fore, aft = templates.drill_templates(told)
    assert (fore.station_m, aft.station_m, square) == (0.2, 1.2, [0.2, 1.2])
    assert (fore.thread, fore.hole_m, len(fore.outlines_m)) == ("M6", 0.006, 2)
    assert [math.hypot(*place) for place in fore.places_m] == pytest.approx([0.042] * 2)
    assert fore.outlines_m[1] == tuple(map(tuple, SQUARE.tolist()))


# --------------------------------------------------------------------- the cut along the axis


def thing(name="it", middle=0.5, **given):
    usual = {"kind": Kind.OTHER, "length_m": 0.2, "across_m": 0.02}
    return Thing(name=name, middle_m=middle, **(usual | given))


def test_things_in_the_plane_are_cut_once_for_each_name_and_span():
    rods = [thing("rods", offset_m=(side, 0.0)) for side in (-0.03, 0.03)]
    aside = thing("aside", offset_m=(0.0, 0.05))
    other, fore = thing("rods", 0.9), thing("fore", 0.2, depth_m=0.04)
    found = list(lengthwise._cut([other, *rods, aside, fore], 0.0))
    assert [(one.name, one.span_m, len(one.outlines_m)) for one in found] == [
        ("fore", (0.1, 0.3), 1), ("rods", (0.4, 0.6), 2), ("rods", (0.8, 1.0), 1),
    ]  # fmt: skip
    assert (found[0].is_round, found[0].depth_m, found[1].is_round, found[1].across_m) == (
        False,
        0.04,
        True,
        0.02,
    )
    corners = np.array(found[1].outlines_m[0])
    assert np.ptp(corners, axis=0) == pytest.approx([0.2, 0.02], rel=0.01)
    assert len(corners) == 4


@pytest.mark.parametrize(("missing", "names"), [((), ["sled", "motor"]), (("motor",), ["sled"])])
def test_a_motor_that_nobody_told_and_nuts_are_left_out(monkeypatch, missing, names):
    placed = [
        SimpleNamespace(thing=thing(kind, kind=Kind(kind), middle=at))
        for kind, at in (("sled", 0.2), ("nut", 0.3), ("eye", 0.4), ("motor", 0.8))
    ]
    monkeypatch.setattr(lengthwise, "room_inside", lambda _vehicle: SimpleNamespace(printed=[]))
    monkeypatch.setattr(lengthwise, "placed_things", lambda *_: placed)
    monkeypatch.setattr(lengthwise, "fin_sets", lambda _vehicle: ())
    monkeypatch.setattr(lengthwise, "telling_roll", lambda _room, things: 0.1 * len(things))
    outer, inner = part("tower"), part("sled")
    outer.spec.outside, inner.spec.outside = True, False
    told = SimpleNamespace(
        files=SimpleNamespace(missing=missing), parts=(outer, inner), skin=SimpleNamespace(length_m=1.2),
        sheet=SimpleNamespace(vehicle=SimpleNamespace(name="shape")),
    )  # fmt: skip
    found = lengthwise.lengthwise_template(told)
    assert [one.name for one in found.things] == names
    assert (found.length_m, found.roll_rad) == (1.2, pytest.approx(0.1 * len(names)))
    assert (found.parts, found.printed_m) == ((("tower", 0.2, 0.9),), ())


# -------------------------------------------------------------------------- holes that are said


def test_a_hole_that_ends_just_short_of_its_part_goes_through():
    entry = SimpleNamespace(name="tower")
    bore = BoreEntry.model_validate(
        {"stations": ["200.01 mm", "850 mm"], "across": "40 mm", "offset": ["5 mm", "-3 mm"]}
    )
    hole = cavity._bore(entry, bore, (0.2, 0.9))
    assert hole.span_m == pytest.approx((0.2, 0.85), abs=1e-9)
    assert (hole.name, hole.across_m, hole.depth_m, hole.offset_m) == (
        "hole in tower",
        0.04,
        0.0,
        (0.005, -0.003),
    )
    square = BoreEntry.model_validate(
        {"stations": ["300 mm", "500 mm"], "sides": ["20 mm", "30 mm"], "turned": "45 deg"}
    )
    box = cavity._bore(entry, square, (0.2, 0.9))
    assert (box.across_m, box.depth_m, box.roll_rad) == (0.02, 0.03, pytest.approx(math.pi / 4))
    assert (box.middle_m, box.length_m) == pytest.approx((0.4, 0.2))


def test_a_hole_that_leans_is_as_long_as_its_stations_over_the_cosine():
    bore = BoreEntry.model_validate(
        {"stations": ["300 mm", "500 mm"], "across": "40 mm", "tilt": "60 deg", "toward": "90 deg"}
    )
    hole = cavity._bore(SimpleNamespace(name="tower"), bore, (0.2, 0.9))
    assert (hole.length_m, hole.middle_m) == pytest.approx((0.4, 0.4))
    assert (hole.tilt_rad, hole.toward_rad) == pytest.approx((math.pi / 3, math.pi / 2))
