"""Cuts and joints, rods across a station, and cases of the halves: on paper."""

import math
from dataclasses import replace
from types import SimpleNamespace

import pytest
from made_by_hand import DOWELS, M6_STRESS_AREA_M2, PLASTIC, STUFFS, cut, part, rod

from finial.assemble.strength import cuts, details
from finial.assemble.strength.cuts import ROOM, Warmth
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.units import Quantity
from finial.materials.glue import glue
from finial.materials.material import material
from finial.structure.loads.case import Case, Half, Load

# ---------------------------------------------------------------- cuts, joints, rods across a station


@pytest.fixture
def stuffs(monkeypatch):
    monkeypatch.setattr(cuts, "sheet_material", lambda sheet, name: STUFFS[name])
    monkeypatch.setattr(details, "sheet_material", lambda sheet, name: STUFFS[name])


VEHICLE = SimpleNamespace(sheet=SimpleNamespace(vehicle=SimpleNamespace(up="+z"), rod=()))


@pytest.mark.parametrize(
    ("built", "held_pa"),
    [
        (part(), 20e6),
        (part(layers="x"), 40e6),
        (part(wall_m=None, stuff="steel"), 400e6),
        (part(stuff="steel"), 400e6),
        (part(wall_m=None), None),  # a print of which nothing is said
    ],
)
def test_a_wall_is_pulled_across_its_layers_where_they_are_stacked_along_the_vehicle(stuffs, built, held_pa):
    found = cuts.layer_strength(VEHICLE, built, ROOM)
    assert (found and found.value) == held_pa


def test_a_glued_joint_keeps_half_to_all_of_the_layers_beside_it():
    layers = Estimate(value=20e6, low=10e6, high=30e6, known_by=KnownBy.MEASURED, method="", source="")
    found = cuts._glued(layers)
    assert (found.low, found.value, found.high) == pytest.approx((5e6, 15e6, 30e6))
    assert found.known_by is KnownBy.ASSUMED


def test_the_glue_of_dowels_holds_over_their_sides():
    held = cuts._bond(cut(), DOWELS)
    per_area = 4 * math.pi * 0.005 * 0.010 / 6e-4
    assert held.value == pytest.approx(glue("epoxy on print").shear_pa.value * per_area)


@pytest.mark.parametrize(
    ("built", "rods", "tension_pa"),
    [
        (part(glued=True, dowels=DOWELS), True, 15e6),
        (part(dowels=DOWELS), True, "bond"),
        (part(), True, None),
        (part(), False, "nothing"),
    ],
)
def test_a_joint_is_held_by_glue_then_dowels_then_rods(stuffs, monkeypatch, built, rods, tension_pa):
    monkeypatch.setattr(cuts, "rods_at", lambda vehicle, station_m, warmth: "rods" if rods else None)
    monkeypatch.setattr(cuts, "_spec", lambda vehicle, cut, holds, warmth: holds)
    here = cut()
    here.part = built
    found = list(cuts._joint(VEHICLE, here, ROOM))
    if tension_pa == "nothing":
        assert found == []
        return
    ((pulled, sheared_),) = found
    assert sheared_ is None
    wanted = cuts._bond(here, DOWELS).value if tension_pa == "bond" else tension_pa
    assert (pulled and pulled.value) == wanted


def test_joints_that_nothing_holds_are_named_with_the_part_ahead(monkeypatch):
    joints = [
        (0.3, part("a")),
        (0.5, part("b", glued=True)),
        (0.7, part("c", dowels=DOWELS)),
        (0.8, part("d")),
    ]
    monkeypatch.setattr(cuts, "part_joints", lambda vehicle: joints)
    monkeypatch.setattr(cuts, "rods_at", lambda vehicle, station_m, warmth: station_m > 0.75 or None)
    monkeypatch.setattr(cuts, "print_seams", lambda vehicle: ())
    assert list(cuts.unheld(None)) == [(0.3, "a")]


def test_a_cut_knows_its_wall_s_scatter_and_how_warm_it_is(stuffs):
    here = cut()
    here.part.spec.print.wall = Quantity(value=0.0016, text="", tolerance=0.0004)
    here.tube = SimpleNamespace()
    spec = cuts._spec(VEHICLE, here, (exact(1.0), exact(0.6)), ROOM)
    assert (spec.walls.tension_strength.value, spec.walls.shear_strength.value) == (1.0, 0.6)
    assert spec.walls.wall_scatter == pytest.approx(0.25)
    here.part.spec.print.wall = Quantity(value=0.0016, text="", tolerance=0.0012)
    assert cuts._spec(VEHICLE, here, (None, None), ROOM).walls.wall_scatter == 0.5
    assert (spec.walls.compression_strength.value, spec.warmth_left, spec.station_m) == (40e6, 1.0, 0.5)
    bought = cut()
    bought.part = part(wall_m=None, stuff="steel")
    assert cuts._spec(VEHICLE, bought, (None, None), ROOM).walls.wall_scatter == 0.0


def test_warmth_leaves_at_most_all_of_a_strength():
    cold = replace(PLASTIC, ultimate_pa=replace(exact(40e6), low=32e6))
    warm = replace(PLASTIC, ultimate_pa=replace(exact(30e6), low=24e6))
    assert cuts.warmth_left(cold, warm) == pytest.approx(0.75)
    assert cuts.warmth_left(warm, cold) == 1.0
    assert cuts.ROOM.of(PLASTIC) is PLASTIC
    hot = Warmth(walls=exact(340.0)).of(material("PETG"))
    assert hot.ultimate_pa.value < material("PETG").ultimate_pa.value


@pytest.mark.parametrize(
    ("station_m", "free_m"), [(0.25, 0.2), (0.4, 0.3), (0.5, 0.3), (0.8, 0.2), (0.05, 0.2), (0.95, 0.2)]
)
def test_rods_buckle_between_the_supports_beside_the_cut(station_m, free_m):
    """From 200 to 900 mm, steadied at 400 and 700."""
    steadied = rod(supports=["700 mm", "400 mm"])
    found = cuts._free_length(steadied, station_m)
    assert found == (pytest.approx(free_m) if 0.2 <= station_m < 0.9 else found)
    if not 0.2 <= station_m < 0.9:
        assert found is None or found == pytest.approx(free_m)
    assert cuts._free_length(rod(), station_m) is None


def test_rods_at_a_cut_are_the_stiffest_set_that_crosses_it_as_tight_as_the_day_leaves_them(
    stuffs, monkeypatch
):
    thin, thick = rod(thread="M5", preload="100 N +- 10 N"), rod(preload="500 N +- 50 N", supports=["400 mm"])
    many = rod(thread="M5", count=8, preload="100 N +- 10 N")
    monkeypatch.setattr(cuts, "crossing", lambda sheet, station_m: (thin, rod(slip="1 mm", count=20), thick))
    found = cuts.rods_at(VEHICLE, 0.5, ROOM)
    assert found.stress_area_m2 == pytest.approx(M6_STRESS_AREA_M2, rel=3e-3)
    assert (found.preload.low, found.preload.value, found.preload.high) == pytest.approx(
        (450.0, 500.0, 550.0)
    )
    assert (found.strength.value, found.free_length_m) == (240e6, pytest.approx(0.5))
    assert 0.0 < found.root_diameter_m < 0.006
    assert len(found.positions_m) == 4
    monkeypatch.setattr(cuts, "crossing", lambda sheet, station_m: (thick, many))
    # 8 of 14.2 mm2 pull harder than 4 of 20.1 mm2.
    assert len(cuts.rods_at(VEHICLE, 0.5, ROOM).positions_m) == 8
    assert cuts.rods_at(VEHICLE, 0.5, ROOM).root_diameter_m == 0.0
    assert cuts.rods_at(VEHICLE, 0.5, Warmth(with_rods=False)) is None
    monkeypatch.setattr(cuts, "crossing", lambda sheet, station_m: ())
    assert cuts.rods_at(VEHICLE, 0.5, ROOM) is None


def test_rods_that_nobody_tightened_pull_nothing():
    none = cuts.tightened(rod())
    assert (none.value, none.known_by) == (0.0, KnownBy.ASSUMED)


# ---------------------------------------------------------------- load cases of the halves


def test_a_half_is_pulled_towards_its_joint(monkeypatch):
    from finial.assemble.strength import cases

    asked = []
    monkeypatch.setattr(
        cases,
        "half_case",
        lambda masses, station, case, forces, scatter: asked.append((case, forces, scatter)) or (),
    )
    pull = SimpleNamespace(along=exact(300.0), across=exact(40.0))
    for half in (Half.FORE, Half.AFT):
        list(cases.pulled_half(None, 0.5, Case(load=Load.CORD_PULLS, half=half), pull))
    (_, (ahead,), scatter), (_, (behind,), _) = asked
    assert (ahead.aft_n, behind.aft_n, ahead.cross_n, ahead.station_m) == (300.0, -300.0, 40.0, 0.5)
    assert scatter == (pull.along, pull.across)


def test_scatter_of_a_force_is_taken_about_its_own_value():
    from finial.assemble.strength.cases import about_one, gust_scatter

    wide = Estimate(value=200.0, low=100.0, high=300.0, known_by=KnownBy.ASSUMED, method="")
    found = about_one(wide)
    assert (found.low, found.value, found.high, found.known_by) == (0.5, 1.0, 1.5, KnownBy.ASSUMED)
    assert about_one(exact(0.0)).value == 1.0
    assert (gust_scatter().low, gust_scatter().high) == (0.75, 1.25)
