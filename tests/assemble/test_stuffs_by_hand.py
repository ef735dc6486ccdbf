"""Materials, cold plastics, pulls at small things, ways to print, own air beside the computed; on paper."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import about, fin_entry, item, quantity, rod

from finial.assemble.air.own import own_beside
from finial.assemble.air.results import TunnelRow
from finial.assemble.prints import turning
from finial.assemble.prints.barred import Beside
from finial.assemble.strength import cold
from finial.assemble.vehicle import hardware_pulls, materials
from finial.core.estimates import KnownBy, exact
from finial.files.sheet_body import OwnMaterialEntry
from finial.materials.material import material


def own(**given):
    return OwnMaterialEntry.model_validate({"name": "mine", **given})


# ---------------------------------------------------------------------------- materials


def test_a_sheet_s_own_material_goes_before_the_tables_whatever_its_case():
    sheet = SimpleNamespace(
        material=(own(name="Other", like="PLA"), own(like="PETG", density="1 g/cm^3 +- 0.1 g/cm^3"))
    )
    found = materials.sheet_material(sheet, " MINE ")
    assert (found.density_kg_m3.low, found.density_kg_m3.value) == pytest.approx((900.0, 1000.0))
    assert found.density_kg_m3.known_by is KnownBy.MEASURED
    assert materials.sheet_material(sheet, "steel") == material("steel")


def test_own_numbers_without_a_tolerance_scatter_by_a_tenth():
    plain = materials._measured(quantity(2.0e9))
    assert (plain.low, plain.value, plain.high) == pytest.approx((1.8e9, 2.0e9, 2.2e9))
    told = materials._measured(quantity(2.0e9, 0.1e9))
    assert (told.low, told.high) == pytest.approx((1.9e9, 2.1e9))
    assert materials._measured(None) is None


def test_bars_of_a_print_scatter_as_lots_do_and_others_by_a_tenth():
    pull = materials.BarPull.ALONG
    metal = materials._strength(own(along="200 MPa"), material("steel"), pull)
    assert (metal.low, metal.high) == pytest.approx((180e6, 220e6))
    print_ = materials._strength(own(along="40 MPa", bars=5), material("PETG"), pull)
    assert print_ == materials.own_bars(40e6, 5, pull=pull, filled=material("PETG").filled)
    one = materials._strength(own(along="40 MPa"), material("PETG"), pull)
    assert one == materials.own_bars(40e6, 1, pull=pull, filled=material("PETG").filled)
    told = materials._strength(own(along="40 MPa +- 1 MPa", across="20 MPa +- 2 MPa"), material("PETG"), pull)
    assert (told.low, told.high) == pytest.approx((39e6, 41e6))
    across = materials._strength(own(across="20 MPa +- 2 MPa"), material("PETG"), materials.BarPull.ACROSS)
    assert across.value == pytest.approx(20e6)
    assert materials._strength(own(across="20 MPa"), material("PETG"), pull) is None


def test_an_item_weighs_as_it_says_as_its_stuff_does_or_as_its_kind_may():
    sheet = SimpleNamespace(material=())
    said = materials.density_of(sheet, item(density="2 g/cm^3", material="steel"))
    assert said.value == pytest.approx(2000.0)
    assert materials.density_of(sheet, item(material="steel")) == material("steel").density_kg_m3
    assert materials.density_of(sheet, item(kind="ballast")) == materials.usual_density("ballast")


def test_walls_are_those_of_a_print():
    printed = SimpleNamespace(print=SimpleNamespace(wall=quantity(0.0016), infill=quantity(0.2)))
    found = materials.walls_of(printed)
    assert (found.wall_m, found.infill) == (0.0016, 0.2)
    assert materials.walls_of(SimpleNamespace(print=None)) is None


# --------------------------------------------------------------------------------- cold


def test_parts_fins_plates_and_the_thrust_plate_are_named_in_the_cold(monkeypatch):
    stuffs = {"brittle": 280.0, "tough": None}
    monkeypatch.setattr(cold, "air_temperature", lambda _vehicle: exact(270.0))
    monkeypatch.setattr(
        cold, "sheet_material", lambda _sheet, name: SimpleNamespace(brittle_below_k=stuffs[name])
    )

    def part(name, stuff):
        return SimpleNamespace(spec=SimpleNamespace(name=name, material=stuff), span_m=(0.2, 0.9))

    def fin(name, stuff):
        return SimpleNamespace(name=name, station=quantity(0.8), material=stuff)

    def plate(name, kind, stuff):
        return SimpleNamespace(name=name, kind=kind, station=quantity(0.4), material=stuff)

    motor = SimpleNamespace(thrust_plate=SimpleNamespace(material="brittle"), nozzle_station=quantity(1.1))
    sheet = SimpleNamespace(
        fin=(fin("fins", "brittle"), fin("vanes", "tough")), motor=motor,
        item=(
            plate("floor", "bulkhead", "brittle"), plate("sled", "sled", "brittle"),
            plate("bare", "bulkhead", None),
        ),
    )  # fmt: skip
    vehicle = SimpleNamespace(sheet=sheet, parts=(part("tower", "brittle"), part("cap", "tough")))
    found = [(one.part, one.station_m) for one in cold.cold_cases(vehicle)]
    assert found == [("tower", 0.2), ("fins", 0.8), ("floor", 0.4), (cold.THRUST_PLATE, 1.1)]
    assert {one.brittle_below_k for one in cold.cold_cases(vehicle)} == {280.0}
    motor.thrust_plate = None
    assert len(list(cold.cold_cases(vehicle))) == 3


# -------------------------------------------------------------------------------- pulls


def of_sheet(**given):
    motor = SimpleNamespace(thrust_plate=None, tube=None, retainer=None)
    usual = {"rod": (), "motor": motor, "part": (), "item": (), "fin": ()}
    return SimpleNamespace(**(usual | {"electronics": SimpleNamespace(battery=())} | given))


def pulls(**given):
    return {(one.kind.name, one.name): one for one in hardware_pulls.hardware_pulls(of_sheet(**given))}


def test_a_length_is_pulled_at_up_to_three_times_and_keeps_its_tolerance():
    found = pulls(rod=(rod(washer="18 mm +- 1 mm"),))["WASHER", "M6"]
    most = hardware_pulls.MOST_TIMES * 0.018
    assert (found.now, found.most, found.step) == (0.018, pytest.approx(most), 0.001)
    assert found.changes(0.02) == {("rod", 0, "washer"): "20 mm +- 1 mm"}
    bare = pulls(rod=(rod(),))["WASHER", "M6"]
    # A washer where there is none: two and a half of the thread.
    assert (bare.now, bare.most) == (0.0, 1.0)
    assert (bare.changes(1.0), bare.changes(0.0)) == ({("rod", 0, "washer"): "15 mm"}, {})


def test_a_thread_is_the_next_one_up_or_stays():
    found = pulls(rod=(rod(),))["THREAD", "M6"]
    assert (found.changes(1.0), found.changes(0.0)) == (
        {("rod", 0, "thread"): "M8"}, {("rod", 0, "thread"): "M6"},
    )  # fmt: skip
    assert ("THREAD", "M12") not in pulls(rod=(rod(thread="M12"),))


@pytest.mark.parametrize(("count", "most"), [(4, 12.0), (16, 16.0)])
def test_screws_and_dowels_are_counted(count, most):
    motor = SimpleNamespace(thrust_plate=None, tube=None, retainer=SimpleNamespace(count=count))
    part = SimpleNamespace(name="tower", dowels=SimpleNamespace(count=count))
    found = pulls(motor=motor, part=(SimpleNamespace(dowels=None), part))
    screws, dowels = found["SCREWS", ""], found["DOWELS", "tower"]
    assert (screws.now, screws.most, screws.step) == (count, most, 1.0)
    assert screws.changes(7.2) == {("motor", "retainer", "count"): 7}
    assert (dowels.most, dowels.changes(5.0)) == (
        hardware_pulls.MOST_TIMES * count, {("part", 1, "dowels", "count"): 5},
    )  # fmt: skip


def test_wires_are_pulled_at_all_at_once_by_one_share():
    stay = SimpleNamespace(diameter=quantity(0.001, 0.0002), preload=quantity(60.0, 6.0))
    thin = SimpleNamespace(diameter=quantity(0.002), preload=quantity(30.0))
    bare = SimpleNamespace(name="bare", stays=(), fixing=None)
    fins = (bare, SimpleNamespace(name="fins", stays=(stay, thin), fixing=None))
    found = pulls(fin=fins)
    assert set(found) == {("WIRE", "fins"), ("TAUT", "fins"), ("SLACKER", "fins")}
    wire, slacker = found["WIRE", "fins"], found["SLACKER", "fins"]
    assert (wire.now, wire.most, wire.step) == (1.0, hardware_pulls.MOST_TIMES, 0.05)
    assert wire.changes(1.5) == {
        ("fin", 1, "stays", 0, "diameter"): "1.5 mm +- 0.3 mm", ("fin", 1, "stays", 1, "diameter"): "3 mm",
    }  # fmt: skip
    assert slacker.most == pytest.approx(1 / hardware_pulls.MOST_TIMES)
    assert slacker.changes(0.5)["fin", 1, "stays", 1, "preload"] == "15 N"


def test_a_battery_is_pulled_at_by_its_capacity():
    battery = SimpleNamespace(name="cell", capacity=quantity(3600.0))
    found = pulls(electronics=SimpleNamespace(battery=(battery,)))["BATTERY", "cell"]
    assert found.changes(1.5) == {("electronics", "battery", 0, "capacity"): "1500 mAh"}
    assert (found.now, found.step) == (1.0, 0.1)


def test_eyes_and_roots_are_pulled_at_where_they_are_told():
    eyed = SimpleNamespace(name="plate", eye=SimpleNamespace(washer=quantity(0.02), thread="M6"))
    fixed = fin_entry(kind="slot", depth="12 mm")
    found = pulls(item=(SimpleNamespace(eye=None), eyed), fin=(fin_entry(), fixed))
    assert set(found) == {("EYE_WASHER", "plate"), ("EYE", "plate"), ("ROOT", "fins")}
    assert found["EYE_WASHER", "plate"].changes(0.03) == {("item", 1, "eye", "washer"): "30 mm"}
    assert found["EYE", "plate"].changes(1.0) == {("item", 1, "eye", "thread"): "M8"}
    assert found["ROOT", "fins"].changes(0.02) == {("fin", 1, "fixing", "depth"): "20 mm"}


# ------------------------------------------------------------------------- ways to print


def corners(wide, deep):
    return np.array([[y, z] for y in (-wide / 2, wide / 2) for z in (-deep / 2, deep / 2)])


def beside(y, z, stations=(0.0, 1.0), keep=0.01):
    return Beside(name="rod", stations_m=stations, place_m=(y, z), keep_m=keep)


def test_halves_of_a_hull_lie_on_either_side_of_the_cut():
    import shapely

    hull = shapely.box(-0.1, -0.05, 0.1, 0.05)
    one, other = turning._halves(hull, 0.0)
    assert (one.bounds, other.bounds) == (
        pytest.approx((0.0, -0.05, 0.1, 0.05)), pytest.approx((-0.1, -0.05, 0.0, 0.05)),
    )  # fmt: skip
    aside = shapely.box(0.02, -0.05, 0.1, 0.05)
    assert len(list(turning._halves(aside, 0.0))) == 1


def test_the_fewest_cuts_along_the_body_that_make_all_pieces_fit():
    body = SimpleNamespace(span_m=(0.2, 0.9))
    bed = (0.2, 0.2, 0.25)
    halves = turning.rolls_to_cut(body, corners(0.36, 0.18), bed, ())
    assert len(halves) == 1
    assert turning._all_fit(corners(0.36, 0.18), halves, bed)
    assert not turning._all_fit(corners(0.36, 0.18), (math.pi / 2,), bed)
    quarters = turning.rolls_to_cut(body, corners(0.36, 0.36), bed, ())
    assert quarters[1] - quarters[0] == pytest.approx(math.pi / 2)
    assert turning.rolls_to_cut(body, corners(0.6, 0.6), bed, ()) is None


def test_a_cut_keeps_farthest_from_what_stands_beside_it():
    # The normal of the cut at roll 0 runs along y.
    assert turning._room((0.0,), [beside(0.05, 0.2)]) == pytest.approx(0.04)
    assert turning._room((0.0, math.pi / 2), [beside(0.05, 0.02)]) == pytest.approx(0.01)
    assert turning._room((0.0,), []) == 1.0
    body = SimpleNamespace(span_m=(0.2, 0.9))
    wide = corners(0.2, 0.2)
    (roll,) = turning.rolls_to_cut(body, wide, (0.4, 0.4, 0.25), [beside(0.05, 0.0)])
    assert math.cos(roll) == pytest.approx(1.0)
    # What stands beyond the part is no hindrance; what stands on the axis always is.
    assert turning.rolls_to_cut(body, wide, (0.4, 0.4, 0.25), [beside(0.0, 0.0)]) is None
    assert turning.rolls_to_cut(body, wide, (0.4, 0.4, 0.25), [beside(0.0, 0.0, (0.9, 1.0))]) is not None


def test_layers_lie_along_the_axis_that_the_sheet_says_or_the_body_s_own():
    said = SimpleNamespace(spec=SimpleNamespace(print=SimpleNamespace(layers_along="x")))
    assert turning.ways_up(said, "+z") == ((0.0, 1.0, 0.0), (-0.0, -1.0, -0.0))
    bought = SimpleNamespace(spec=SimpleNamespace(print=None))
    assert turning.ways_up(bought, "+z") == ((1.0, 0.0, 0.0), (-1.0, -0.0, -0.0))
    assert turning.ways_up(bought, "-y") == ((1.0, 0.0, 0.0), (-1.0, -0.0, -0.0))


# --------------------------------------------------------------------------------- air


def air(drag, places, rows=()):
    forward, central, aft = (np.array([row]) for row in places)
    return SimpleNamespace(
        table=SimpleNamespace(axial_power_off=np.array([drag, [9.0, 9.0]])), pressure_forward_m=forward,
        pressure_central_m=central, pressure_aft_m=aft,
        drag_rows=[SimpleNamespace(coefficient=one) for one in rows],
    )  # fmt: skip


def test_own_air_stands_beside_the_computed_where_they_lie_farthest_apart():
    computed = air(
        [0.4, 0.6], ([0.7, 0.6], [0.8, 0.7], [0.9, 0.8]), [about(0.3, 0.2, 0.5), about(0.2, 0.2, 0.3)]
    )
    own_air = air([0.5, 0.7], ([0.75, 0.8], [0.82, 0.85], [0.88, 0.9]))
    found = own_beside("air", own_air, computed)
    assert (found.table, found.drag_ratio) == ("air", pytest.approx(1.2))
    assert found.drag_within == pytest.approx((0.8, 1.6))
    assert (found.place_m.low, found.place_m.value, found.place_m.high) == (0.8, 0.85, 0.9)
    assert (found.computed_place_m.low, found.computed_place_m.value) == (0.6, 0.7)
    assert (found.place_m.known_by, found.computed_place_m.known_by) == (KnownBy.MEASURED, KnownBy.COMPUTED)


@pytest.mark.parametrize(
    ("low", "high", "sections", "meets"),
    [
        (0.5, 0.6, (0.4, 0.45, 0.5), True),
        (0.51, 0.6, (0.4, 0.45, 0.5), False),
        (0.3, 0.4, (0.4, 0.45, 0.5), True),
        (0.3, 0.39, (0.4, 0.45, 0.5), False),
        (0.3, 0.39, None, True),
        (None, None, (0.4, 0.45, 0.5), True),
    ],
)
def test_a_tunnel_meets_the_sections_where_their_intervals_touch(low, high, sections, meets):
    place = None if low is None else about((low + high) / 2, low, high)
    row = TunnelRow(
        angle_rad=0.1, roll_rad=0.0, force=exact(1.0), place=place, axial=exact(0.4), aside=exact(0.0),
        pressure_axial=0.3, force_read=1.0, section_share=0.01, reynolds=1e5, cells=20.0, coarse_cells=13.0,
        restarts=0, sections_force=1.0, sections_axial=0.4, sections_place_m=sections,
    )  # fmt: skip
    assert row.meets is meets
