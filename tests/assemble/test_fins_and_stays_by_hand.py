"""Fins as plates on their roots, their wires and what those are anchored to; speeds and stresses on paper."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.strength.fins import plates, study
from finial.assemble.strength.fins.build import FinBuild
from finial.assemble.vehicle import stays
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.units import Quantity
from finial.files.sheet_body import FixingEntry, PlateEntry, StayEntry
from finial.materials.glue import glue
from finial.materials.material import material
from finial.shape.fin_set import FinSet
from finial.shape.skin import Section
from finial.structure.fins.root import HoldKind, slot_turning_stiffness, wall_turning_stiffness

SOUND_M_S, DENSITY = 340.0, 1.2
OUTLINE = np.array([[0.0, 0.0], [0.04, 0.1], [0.14, 0.1], [0.2, 0.0]])
FIN = FinSet(
    name="fins",
    outline_m=OUTLINE,
    station_m=0.9,
    root_radius_m=0.05,
    count=4,
    first_at_rad=0.0,
    thickness_m=0.004,
)
STUFF = replace(
    material("polycarbonate"),
    modulus_pa=Estimate(value=2.3e9, low=2.0e9, high=2.6e9, known_by=KnownBy.HANDBOOK, method=""),
)


def about(value, low, high):
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED, method="")


def quantity(value):
    return Quantity(value=value, text="")


def fin_build(**changes):
    usual = {"fins": FIN, "thickness": about(0.004, 0.0035, 0.0045), "tip_thickness": None, "stuff": STUFF}
    return FinBuild(**{**usual, **changes})


# ---------------------------------------------------------------- plates and roots


@pytest.mark.parametrize(
    ("corner", "thickness_m", "modulus_pa"),
    [(-1.0, 0.0035, 2.0e9), (0.0, 0.004, 2.3e9), (1.0, 0.0045, 2.6e9)],
)
def test_a_plate_at_a_corner_is_as_thick_and_as_stiff_as_its_end(corner, thickness_m, modulus_pa):
    found = plates.plate_of(fin_build(solid_share=0.8, density_share=0.6), corner)
    assert found.thickness_m == thickness_m
    assert found.modulus_pa == pytest.approx(0.8 * modulus_pa)
    assert found.density_kg_m3 == pytest.approx(0.6 * STUFF.density_kg_m3.value)
    tapered = plates.plate_of(fin_build(tip_thickness=about(0.002, 0.001, 0.003)), corner)
    assert tapered.tip_thickness_m == {-1.0: 0.001, 0.0: 0.002, 1.0: 0.003}[corner]
    assert found.tip_thickness_m is None


@pytest.fixture
def wall(monkeypatch):
    """A square body of 100 mm, printed of PETG in 2 mm."""
    loop = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    section = Section(station_m=0.9, loops=(loop,), area_m2=0.01, perimeter_m=0.4, centroid_m=(0.0, 0.0))
    asked = SimpleNamespace(
        part=SimpleNamespace(
            spec=SimpleNamespace(material="PETG", print=SimpleNamespace(wall=quantity(0.002)))
        ),
        at=[],
    )
    for module in (plates, stays):
        monkeypatch.setattr(module, "section_at", lambda skin, station: asked.at.append(station) or section)
        monkeypatch.setattr(module, "sheet_material", lambda sheet, name: material(name))
    monkeypatch.setattr(plates, "part_at", lambda vehicle, station: asked.part)
    asked.vehicle = SimpleNamespace(sheet=None, skin=SimpleNamespace(length_m=1.2))
    return asked


def fixing(**given):
    return FixingEntry.model_validate(given)


def test_a_root_stands_on_the_wall_of_its_part_or_on_what_its_fixing_says(wall):
    modulus, thick, width = plates._wall(wall.vehicle, FIN, None)
    assert (modulus, thick) == (material("PETG").modulus_pa.low, 0.002)
    assert width == pytest.approx(0.1, rel=0.1)
    # Half of the mean of the corners along behind the station: 0.9 + 0.095 / 2.
    assert wall.at[-1] == pytest.approx(0.9475)
    said = plates._wall(wall.vehicle, FIN, fixing(kind="fillet", wall="3 mm", width="60 mm", material="PLA"))
    assert said == (material("PLA").modulus_pa.low, 0.003, 0.06)
    wall.part.spec.print = None
    assert plates._wall(wall.vehicle, FIN, None)[1] == 0.0016
    wall.part = None
    assert plates._wall(wall.vehicle, FIN, None)[:2] == (material("PETG").modulus_pa.low, 0.0016)
    wall.vehicle.skin.length_m = 0.93
    plates._wall(wall.vehicle, FIN, None)
    assert wall.at[-1] == 0.93


def root(wall, plate, **given):
    return plates.root_of(wall.vehicle, fin_build(fixing=fixing(**given) if given else None), plate)


def test_each_way_to_hold_a_root_has_its_own_springs(wall):
    plate = plates.plate_of(fin_build())
    wall_of = plates._wall(wall.vehicle, FIN, None)
    assert (root(wall, plate).kind, root(wall, plate, kind="stiff").kind) == (HoldKind.UNSAID, HoldKind.STIFF)
    drawn = plates.root_of(wall.vehicle, fin_build(drawn_in=wall.part), plate)
    assert (drawn.kind, drawn.turning_n) == (HoldKind.DRAWN, pytest.approx(wall_turning_stiffness(*wall_of)))
    fillet = root(wall, plate, kind="fillet", depth="5 mm")
    assert (fillet.kind, fillet.turning_n) == (HoldKind.WALL, pytest.approx(wall_turning_stiffness(*wall_of)))
    slot = root(wall, plate, kind="slot", depth="6 mm")
    assert (slot.kind, slot.depth_m) == (HoldKind.SLOT, 0.006)
    assert slot.turning_n == pytest.approx(slot_turning_stiffness(wall_of[0], 0.006, wall_of[2], 0.004))
    assert root(wall, plate, kind="slot").depth_m == 0.002  # as deep as the wall is thick
    tab, usual = root(wall, plate, kind="tab", depth="30 mm"), root(wall, plate, kind="tab")
    assert (tab.kind, tab.depth_m, usual.depth_m) == (HoldKind.TAB, 0.03, 0.015)
    # A tab bends over its depth: half as deep, twice as stiff.
    assert usual.turning_n / tab.turning_n == pytest.approx(2.0)


def test_bolts_hold_near_both_ends_under_usual_washers_unless_told(monkeypatch):
    asked = []
    monkeypatch.setattr(
        plates,
        "bolted_pieces",
        lambda bolts, washer, ends: asked.append((bolts, washer, ends)) or ((0.0, 0.01),),
    )
    usual = plates._bolted(FIN, fixing(kind="bolts"))
    told = plates._bolted(FIN, fixing(kind="bolts", bolts=["30 mm", "100 mm"], washer="15 mm"))
    assert asked[0][0] == pytest.approx((0.02, 0.18))
    assert asked[0][1:] == (0.012, (0.0, 0.2))
    assert asked[1] == ((0.03, 0.1), 0.015, (0.0, 0.2))
    assert (usual.kind, usual.depth_m, told.depth_m) == (HoldKind.BOLTS, 0.012, 0.015)


# ---------------------------------------------------------------- stays


def stay(**given):
    usual = {"diameter": "1.2 mm", "material": "spring steel wire", "along": "100 mm", "outward": "80 mm"}
    return StayEntry.model_validate({**usual, "preload": "50 N", **given})


def test_a_stay_is_in_the_measures_of_its_fin(wall):
    usual = stays.stay_of(wall.vehicle, FIN, stay())
    assert (usual.along_m, usual.outward_m, usual.diameter_m, usual.preload_n) == (0.1, 0.08, 0.0012, 50.0)
    # Straight in, an eighth of a turn aside: the corner of the square, 2 mm off it.
    assert (usual.anchor_along_m, usual.anchor_turn_rad) == pytest.approx((0.1, math.pi / 4))
    assert usual.anchor_radius_m == pytest.approx(0.05 * math.sqrt(2) + 0.002)
    told = stays.stay_of(wall.vehicle, FIN, stay(anchor_station="1050 mm", anchor_turn="10 deg"))
    assert (told.anchor_along_m, told.anchor_turn_rad) == pytest.approx((0.15, math.radians(10.0)))
    assert told.anchor_radius_m == pytest.approx(0.05 / math.cos(math.radians(10.0)) + 0.002)
    single = stays.stay_of(wall.vehicle, replace(FIN, count=1), stay())
    assert single.anchor_turn_rad == pytest.approx(math.pi / 2)


def test_an_anchor_stands_on_the_body_even_where_its_station_is_off_it(wall):
    for station, at in ((-0.1, 0.0), (0.5, 0.5), (9.0, 1.2)):
        stays.anchor_radius(wall.vehicle, FIN, station, 0.0)
        assert wall.at[-1] == at


def test_a_wire_breaks_at_its_area_times_what_its_fittings_leave(wall):
    whole = material("spring steel wire").ultimate_pa
    area = math.pi / 4 * 0.0012**2
    found = stays.wire_strength(wall.vehicle, stay(), about(0.8, 0.6, 0.9))
    assert found.value == pytest.approx(0.8 * area * whole.value)
    assert (found.low, found.high) == pytest.approx((0.6 * area * whole.low, 0.9 * area * whole.high))
    assert found.known_by >= KnownBy.HANDBOOK


def line(direction, length_m):
    return SimpleNamespace(direction=np.array(direction) / np.linalg.norm(direction), length_m=length_m)


def test_a_wire_that_passes_through_the_body_is_found_where_it_does(wall):
    pair = SimpleNamespace(along_m=0.1, outward_m=0.08)
    # From 130 mm out straight inward through the far side.
    inward = stays.crossing(wall.vehicle, FIN, pair, line((0.0, -1.0, 0.0), 0.3))
    assert inward == pytest.approx(1.0)
    # A third of it out along and a little in: it stays outside.
    assert stays.crossing(wall.vehicle, FIN, pair, line((0.0, -1.0, 0.0), 0.07)) is None
    assert stays.crossing(wall.vehicle, FIN, pair, line((0.0, 1.0, 0.0), 0.3)) is None
    # Beyond the base there is no body to pass through.
    behind = stays.crossing(wall.vehicle, replace(FIN, station_m=1.15), pair, line((0.0, -1.0, 0.0), 0.3))
    assert behind is None


def test_an_anchor_is_as_stiff_as_the_wall_and_the_plate_behind_it(wall, monkeypatch):
    def cut(at, *, joint=False, printed=True):
        part = SimpleNamespace(spec=SimpleNamespace(material="PETG", print=printed or None))
        return SimpleNamespace(
            station_m=at, joint=joint, part=part, sandwich=None, infill=0.0, infill_depth_m=0.03,
            flat_length_m=0.3, area=SimpleNamespace(wall_m=0.002, flat_width_m=0.1),
        )  # fmt: skip

    found = [cut(0.5), cut(0.95), cut(0.9, joint=True), cut(0.91, printed=False)]
    monkeypatch.setattr(plates, "build_of", lambda vehicle: None)
    monkeypatch.setattr(plates, "wall_cuts", lambda build: found)
    assert plates._nearest(wall.vehicle, 0.9).station_m == 0.95
    bare = plates.anchor_stiffness(wall.vehicle, 0.9)
    petg = material("PETG")
    bending = petg.modulus_pa.low * 0.002**3 / 12 / (1 - petg.poisson**2)
    assert bare == pytest.approx(plates.panel_stiffness(bending, 0.1, 0.0))
    backed = plates.anchor_stiffness(
        wall.vehicle, 0.9, PlateEntry.model_validate({"thickness": "6 mm", "material": "birch plywood"})
    )
    wood = material("birch plywood")
    behind = wood.modulus_pa.low * 0.006**3 / 12 / (1 - wood.poisson**2)
    assert backed / bare == pytest.approx((bending + behind) / bending)
    found[1].flat_length_m = 0.05
    assert plates.anchor_stiffness(wall.vehicle, 0.9) == pytest.approx(
        plates.panel_stiffness(bending, 0.05, 0.0)
    )
    found[1].infill = 0.2
    assert plates.anchor_stiffness(wall.vehicle, 0.9) > bare
    found.clear()
    assert plates.anchor_stiffness(wall.vehicle, 0.9) == math.inf


def test_only_wires_to_the_body_pull_at_a_wall(wall, monkeypatch):
    asked = []
    monkeypatch.setattr(
        plates, "anchor_stiffness", lambda vehicle, station, backing: asked.append(station) or 5e4
    )
    assert plates.anchored_stay(wall.vehicle, FIN, stay()).anchor_n_per_m == 5e4
    assert asked == [pytest.approx(1.0)]
    between = plates.anchored_stay(wall.vehicle, FIN, stay(to="next fin"))
    assert between.anchor_n_per_m == math.inf
    assert len(asked) == 1


# ---------------------------------------------------------------- the long look


def scene(**changes):
    air = SimpleNamespace(sound_speed_m_s=SOUND_M_S, density_kg_m3=DENSITY)
    usual = {
        "build": fin_build(),
        "case": SimpleNamespace(dynamic_pressure_pa=5000.0, angle_rad=0.1, speed_m_s=90.0),
        "fin": SimpleNamespace(fins=FIN, planform=SimpleNamespace(root_chord_m=0.2), slope_per_rad=None),
        "vehicle": SimpleNamespace(skin=SimpleNamespace(reference_area_m2=0.02)),
        "air": air,
        "top_speed": about(90.0, 80.0, 100.0),
        "wanted_ratio": 1.5,
        "factor_at": lambda sound: lambda speed: 1.0,
        "force_n": 40.0,
    }
    return SimpleNamespace(**{**usual, **changes})


@pytest.mark.parametrize(("count", "share"), [(4, 0.5), (3, 2 / 3), (2, 0.5), (1, 1.0)])
def test_the_most_loaded_of_four_fins_bears_half_of_the_set(monkeypatch, count, share):
    monkeypatch.setattr(study, "fin_set_force", lambda slope, pressure_area, angle: pressure_area * angle)
    fin = SimpleNamespace(fins=replace(FIN, count=count), slope_per_rad=None)
    vehicle = SimpleNamespace(skin=SimpleNamespace(reference_area_m2=0.02))
    given = study.FinScene(vehicle=vehicle, fin=fin, build=None,
                           case=SimpleNamespace(dynamic_pressure_pa=5000.0, angle_rad=0.1), trace=None,
                           top_speed=None, wanted_ratio=1.5)  # fmt: skip
    assert given.force_n == pytest.approx(10.0 * share)


def test_air_forces_grow_with_mach_up_to_the_last_the_lattice_knows():
    asked = []
    fin = SimpleNamespace(mach_factor=lambda mach: asked.append(mach) or 1.0)
    given = study.FinScene(
        vehicle=None, fin=fin, build=None, case=None, trace=None, top_speed=None, wanted_ratio=1.5
    )
    factor = given.factor_at(340.0)
    factor(170.0)
    factor(3400.0)
    assert asked == [0.5, study.LARGEST_MACH]


def found_at(speed):
    return SimpleNamespace(speed_m_s=speed)


def test_flutter_is_between_the_soft_and_the_stiff_fin_and_none_found_counts_as_the_last_mach():
    one = study._interval(scene(), {-1.0: found_at(80.0), 0.0: found_at(100.0), 1.0: found_at(120.0)})
    assert (one.low, one.value, one.high) == (80.0, 100.0, 120.0)
    odd = study._interval(scene(), {-1.0: found_at(110.0), 0.0: found_at(100.0), 1.0: found_at(90.0)})
    assert (odd.low, odd.value, odd.high) == (100.0, 100.0, 100.0)
    last = study.LARGEST_MACH * SOUND_M_S
    stiff = study._interval(scene(), {-1.0: found_at(80.0), 0.0: None, 1.0: None})
    assert (stiff.low, stiff.value, stiff.high) == (80.0, last, last)
    assert study._interval(scene(), {-1.0: None, 0.0: None, 1.0: None}) is None


def test_stress_takes_the_scatter_of_the_gust_and_the_thin_end():
    bent = SimpleNamespace(stress_pa=10e6)
    found = study._stress(scene(), bent)
    thin = (4.0 / 3.5) ** 2
    assert (found.low, found.value, found.high) == pytest.approx((7e6 / thin, 10e6, 13e6 * thin))
    assert study._stress(scene(), None) is None


def test_a_fin_past_divergence_has_no_bent_shape_and_the_load_is_that_of_the_flight(monkeypatch):
    asked = {}
    monkeypatch.setattr(
        study, "divergence_of", lambda fin, mach_factor=None: 5000.0 / 0.999 * asked.get("share", 1.01)
    )
    monkeypatch.setattr(
        study, "bent_in_wind", lambda fin, pressure, angle, mach_factor: (pressure, angle, mach_factor)
    )
    fin = SimpleNamespace(rigid_slope_per_rad=3.0, lattice=SimpleNamespace(area_m2=0.015))
    given = scene(factor_at=lambda sound: lambda speed: 1.2 if speed == 90.0 else 9.0)
    pressure, angle, factor = study._bent(given, fin)
    # 40 N over 5 kPa, 1.2 of it by Mach, a slope of 3 and 0.015 m2.
    assert (pressure, angle, factor) == pytest.approx((5000.0, 40.0 / (5000.0 * 1.2 * 3.0 * 0.015), 1.2))
    asked["share"] = 0.99
    assert study._bent(given, fin) is None


def test_divergence_is_the_first_speed_tried_whose_pressure_reaches_it(monkeypatch):
    monkeypatch.setattr(study, "divergence_of", lambda fin, mach_factor=1.0: 0.5 * DENSITY * 100.0**2)
    found = study._divergence_speed(scene(), None)
    step = SOUND_M_S * (study.LARGEST_MACH - 0.03) / 44
    assert 100.0 <= found < 100.0 + step
    doubled = study._divergence_speed(scene(factor_at=lambda sound: lambda speed: 4.0), None)
    assert 50.0 <= doubled < 50.0 + step
    monkeypatch.setattr(study, "divergence_of", lambda fin, mach_factor=1.0: 1e9)
    assert study._divergence_speed(scene(), None) == math.inf
    speeds = study._speeds(SOUND_M_S)
    assert (speeds[0], speeds[-1]) == pytest.approx((0.03 * SOUND_M_S, study.LARGEST_MACH * SOUND_M_S))


@pytest.mark.parametrize(
    ("flutter", "shown"), [(200.0, 230.0), (None, 130.0), (50.0, 130.0), (900.0, 0.9 * SOUND_M_S)]
)
def test_the_picture_goes_a_little_past_flutter_and_past_the_flight(flutter, shown):
    held = SimpleNamespace(flutter=exact(flutter) if flutter else None)
    found = study._shown_speed(held, about(90.0, 80.0, 100.0), SOUND_M_S)
    assert found == pytest.approx(min(shown, study.LARGEST_MACH * SOUND_M_S))


def test_glue_at_a_root_is_judged_where_the_sheet_names_it():
    def glued(moment=4.0, **given):
        usual = {"kind": "fillet", "depth": "8 mm", "glue": "epoxy on print"}
        build = fin_build(fixing=fixing(**{key: one for key, one in {**usual, **given}.items() if one}))
        return study._root_glue(scene(build=build), SimpleNamespace(root_moment_n_m=moment))

    load, holds = glued()
    stress = study.root_glue_stress(4.0, 0.2, 0.004, 0.008)
    assert (load.low, load.value, load.high) == pytest.approx((0.7 * stress, stress, 2.0 * stress))
    assert holds == glue("epoxy on print").shear_pa
    assert glued(kind="slot") is not None
    assert glued(kind="tab") is None
    assert glued(glue=None) is None
    assert glued(depth=None) is None
    assert glued(moment=math.nan) is None
    assert study._root_glue(scene(), SimpleNamespace(root_moment_n_m=4.0)) is None


def test_wires_live_from_the_shade_to_the_sun(monkeypatch):
    monkeypatch.setattr(study, "air_temperature", lambda vehicle: about(290.0, 285.0, 295.0))
    monkeypatch.setattr(study, "wall_warmth", lambda vehicle: about(320.0, 310.0, 330.0))
    day = study._over_the_day(None)
    assert (day.low, day.value, day.high) == (285.0, 290.0, 330.0)
    monkeypatch.setattr(study, "wall_warmth", lambda vehicle: about(280.0, 270.0, 290.0))
    assert study._over_the_day(None).high == 295.0


def test_stays_are_proposed_only_where_flutter_falls_short_and_there_is_a_next_fin(monkeypatch):
    monkeypatch.setattr(
        study, "designed_stays", lambda soft, wish, anchorage, modulus_pa: SimpleNamespace(pair=wish)
    )
    monkeypatch.setattr(study, "_anchorage", lambda scene: None)
    monkeypatch.setattr(study, "_stiff_load", lambda scene, fin: None)
    after = SimpleNamespace(flutter=exact(149.0))
    monkeypatch.setattr(study, "_look", lambda scene, pairs: SimpleNamespace(held=after))
    given = scene(with_pairs=lambda corner, pairs, pattern: (corner, pairs, pattern))

    def held(flutter, alike=None):
        return SimpleNamespace(flutter=flutter and exact(flutter), flutter_all_alike=alike and exact(alike))

    found = study._proposal(given, held(149.0))
    # Half as fast again as the fastest flight, 100 m/s; a twentieth more is designed for.
    assert (found.wanted_m_s, found.pair.flutter_m_s, found.reaches) == (
        pytest.approx(150.0),
        pytest.approx(157.5),
        False,
    )
    assert found.pair.speeds_m_s[-1] == pytest.approx(1.04 * 150.0)
    assert found.backing_m == 0.006
    wire = material("spring steel wire").ultimate_pa.low
    assert found.pair.allowed_pa == pytest.approx(wire * study.FITTINGS_KEEP.low / 1.6)
    after.flutter = None
    assert study._proposal(given, held(149.0)).reaches is True
    assert study._proposal(given, held(150.0)) is None
    assert study._proposal(given, held(None)) is None
    assert study._proposal(given, held(400.0, alike=120.0)) is not None
    alone = scene(with_pairs=given.with_pairs, fin=SimpleNamespace(fins=replace(FIN, count=1)))
    assert study._proposal(alone, held(10.0)) is None


def test_proposed_anchors_stand_half_way_to_the_next_fin(monkeypatch):
    asked = []
    monkeypatch.setattr(
        study, "anchor_radius", lambda vehicle, fins, station, turn: asked.append((station, turn)) or 0.07
    )
    monkeypatch.setattr(
        study,
        "anchor_stiffness",
        lambda vehicle, station, backing: asked.append((station, backing.thickness.value)) or 9e4,
    )
    found = study._anchorage(scene())
    assert asked == [(pytest.approx(1.0), pytest.approx(math.pi / 4)), (pytest.approx(1.0), 0.006)]
    assert (found.radius_m, found.stiffness_n_per_m, found.fins, found.root_radius_m) == (0.07, 9e4, 4, 0.05)
    single = scene(fin=SimpleNamespace(fins=replace(FIN, count=1)))
    assert study._anchorage(single).turn_rad == pytest.approx(math.pi / 2)


def test_the_stiff_load_is_shared_as_the_lattice_lifts_and_a_third_more_of_it():
    fin = SimpleNamespace(force_per_slope=np.array([[1.0, 0.0], [1.0, 2.0]]))
    assert study._stiff_load(scene(), fin) == pytest.approx([1.3 * 40.0 * 0.25, 1.3 * 40.0 * 0.75])


def test_flutter_and_flight_are_set_side_by_side_from_the_pad_to_the_top(monkeypatch):
    air = SimpleNamespace(sound_speed_m_s=300.0, density_kg_m3=1.0)
    monkeypatch.setattr(study, "day_at_pad", lambda vehicle: None)
    monkeypatch.setattr(
        study,
        "air_over_pad",
        lambda day, height: SimpleNamespace(
            sound_speed_m_s=300.0 - height / 100, density_kg_m3=air.density_kg_m3
        ),
    )
    monkeypatch.setattr(
        study,
        "first_growth",
        lambda swinging, density, speeds, mach_factor, tolerance: (
            found_at(speeds[-1]) if speeds[-1] > 0.9 * 294.0 else None
        ),
    )
    heights = np.linspace(0.0, 1000.0, 101)
    trace = SimpleNamespace(
        positions_m=np.column_stack([heights * 0, heights * 0, heights]), airspeeds_m_s=100.0 - 0.1 * heights
    )
    found = study._envelope(scene(trace=trace), SimpleNamespace(swinging=None))
    assert found.heights_agl_m == pytest.approx([0.0, 200.0, 400.0, 600.0, 800.0, 1000.0])
    # Within a sixth of the height to either side the fastest is at the lower end of that.
    assert found.flown_m_s[0] == pytest.approx(100.0)
    assert found.flown_m_s[3] == pytest.approx(100.0 - 0.1 * 440.0)
    assert math.isinf(found.flutter_m_s[-1])
    assert found.flutter_m_s[0] == pytest.approx(study.LARGEST_MACH * 300.0)


def looked_at(monkeypatch, *, growth=None, bent=None, pairs=()):
    turns = np.arange(1.0, 7.0) * 20.0 * math.pi
    modes = SimpleNamespace(frequencies_rad_s=turns, twists=np.array([False, True] * 3))
    lattice = SimpleNamespace(bound_m=np.array([[0.1, 0.0], [0.3, 0.0]]))
    fin = SimpleNamespace(lattice=lattice, force_per_slope=np.array([[1.0, 0.0], [1.0, 2.0]]))
    asked = []
    monkeypatch.setattr(study, "swinging_fin", lambda fin: SimpleNamespace(modes=modes))
    monkeypatch.setattr(study, "_growth", lambda scene, one: growth)
    monkeypatch.setattr(study, "_interval", lambda scene, growths: len(growths))
    monkeypatch.setattr(study, "_bent", lambda scene, fin: bent)
    monkeypatch.setattr(study, "_divergence_speed", lambda scene, fin: math.inf)
    monkeypatch.setattr(study, "_stress", lambda scene, bent: None)
    scene = SimpleNamespace(with_pairs=lambda corner, pairs, how: asked.append((corner, how)) or fin)
    return study._look(scene, pairs).held, asked


def test_a_fin_that_neither_flutters_nor_holds_the_load_says_so(monkeypatch):
    held, asked = looked_at(monkeypatch)
    # The first four of its modes, in swings a second.
    assert held.frequencies_hz.tolist() == pytest.approx([10.0, 20.0, 30.0, 40.0])
    assert held.twists == (False, True, False, True)
    assert (held.flutter_hz, held.flutter_all_alike, held.stress_at_m) == (0.0, None, (0.0, 0.0))
    assert all(
        math.isnan(one)
        for one in (held.lift_ratio, held.centre_shift_m, held.tip_shift_m, held.tip_twist_rad,
                    held.root_moment_n_m)
    )  # fmt: skip
    assert {corner for corner, _ in asked} == {-1.0, 0.0, 1.0}


def test_a_fin_that_flutters_and_bends_says_by_how_much(monkeypatch):
    bent = SimpleNamespace(lift_ratio=1.1, centre_m=(0.27, 0.0), tip_shift_m=0.004, tip_twist_rad=0.02,
                           stress_at_m=(0.1, 0.05), root_moment_n_m=3.0, stress_pa=1e6)  # fmt: skip
    pairs = [SimpleNamespace(to="next fin")]
    held, asked = looked_at(monkeypatch, growth=SimpleNamespace(frequency_hz=31.0), bent=bent, pairs=pairs)
    # A stiff fin's centre: a quarter of the lift at 0.1 m, three at 0.3.
    assert (held.flutter_hz, held.centre_shift_m) == (31.0, pytest.approx(0.27 - 0.25))
    assert (held.lift_ratio, held.tip_shift_m, held.tip_twist_rad) == (1.1, 0.004, 0.02)
    assert (held.stress_at_m, held.root_moment_n_m, held.flutter_all_alike) == ((0.1, 0.05), 3.0, 3)
    # Wires between fins hold nothing where all swing alike: that is looked at too.
    assert [how for _, how in asked] == ["gust"] * 3 + ["all alike"] * 3
