"""Nuts, plates, screws, dowels, thin and pressed walls: from a few entries, on paper."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import BOARD, DOWELS, M6_STRESS_AREA_M2, PLASTIC, STEEL, STUFFS, cut, part, rod

from finial.assemble.strength import cuts, details
from finial.assemble.strength.retainer import retainer_holds
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.units import Quantity
from finial.files.sheet_motor import GluedTubeEntry, RetainerEntry, ThrustPlateEntry
from finial.materials.glue import glue
from finial.materials.material import SHEET
from finial.structure.loads.case import Case, Load, Occasion
from finial.structure.reserves import Because, FailureMode

SHEAR = 0.577
"""Shear strength over tensile strength: von Mises."""


PULL = Estimate(value=1000.0, low=900.0, high=1200.0, known_by=KnownBy.COMPUTED, method="")


def scene(sheet=None, **vehicle):
    return SimpleNamespace(
        vehicle=SimpleNamespace(sheet=sheet, **vehicle),
        stuff=STUFFS.__getitem__,
        left=lambda name: 0.9 if name == "PETG" else 1.0,
        cases=(),
        fins=(),
    )


def rows_of(found):
    return {row.mode: row for row in found}


# ---------------------------------------------------------------- nuts, washers, plates


def test_a_nut_strips_in_shear_over_its_height():
    """ISO 4032: 0.8 of the diameter; pi d L / 2 in shear on the pitch diameter of ISO 724, within 5 %."""
    row = rows_of(details._pulled_rod(scene(), rod(), (PULL, Case(load=Load.LANDING))))[
        FailureMode.ROD_STRIPS
    ]
    by_hand = SHEAR * 400e6 * math.pi * 0.00535 * 0.8 * 0.006 / 2
    assert row.strength.value == pytest.approx(by_hand, rel=0.05)
    assert (row.station_m, row.subject, row.case.load) == (0.9, "M6", Load.LANDING)
    assert row.reserve.low == pytest.approx(row.strength.low / 1200.0)
    assert row.reserve.high == pytest.approx(row.strength.high / 900.0)


@pytest.mark.parametrize(("washer", "across"), [("18 mm", 0.018), (None, 1.7 * 0.006)])
def test_a_washer_or_the_bare_nut_presses_on_its_ring(washer, across):
    """Hole a tenth wider than the rod (ISO 273), nut 1.7 of it (ISO 4032): force over the ring between."""
    plate = {"bears_on": {"thickness": "6 mm", "material": "birch plywood"}}
    given = rod(**plate, **({"washer": washer} if washer else {}))
    rows = rows_of(details._pulled_rod(scene(), given, (PULL, None)))
    sinks = rows[FailureMode.WASHER_SINKS if washer else FailureMode.NUT_SINKS]
    assert sinks.load.value == pytest.approx(1000.0 / (math.pi / 4 * (across**2 - 0.0066**2)))
    assert sinks.strength.value == 10e6
    punched = rows[FailureMode.NUT_PULLS_THROUGH]
    assert punched.load.value == pytest.approx(1000.0 / (math.pi * across * 0.006))
    assert punched.strength.value == 9e6
    assert punched.warmth_left == sinks.warmth_left == 1.0
    assert FailureMode.NUT_PULLS_THROUGH not in rows_of(details._pulled_rod(scene(), rod(), (PULL, None)))


def test_print_under_a_nut_is_as_strong_as_its_layers_and_as_warm_as_it_gets():
    given = rod(bears_on={"thickness": "6 mm", "material": "PETG"}, washer="18 mm")
    rows = rows_of(details._pulled_rod(scene(), given, (PULL, None)))
    assert rows[FailureMode.WASHER_SINKS].strength.value == pytest.approx(1.5 * 40e6)
    assert rows[FailureMode.NUT_PULLS_THROUGH].strength.value == pytest.approx(SHEAR * 20e6)
    assert rows[FailureMode.WASHER_SINKS].warmth_left == 0.9
    assert rows[FailureMode.NUT_PULLS_THROUGH].warmth_left == 0.9


def test_layers_let_go_first_in_print_alone():
    assert details.layers_of(PLASTIC).value == 20e6
    assert details.layers_of(STEEL).value == 400e6
    assert details.layers_of(replace(PLASTIC, kind=SHEET)).value == 40e6
    assert details.layers_of(replace(PLASTIC, upright_pa=None)).value == 40e6


@pytest.mark.parametrize(
    ("stations", "modes"),
    [
        (["200 mm", "900 mm"], ["rod-end-unsaid", "rod-end-unsaid"]),
        (["190.3 mm", "909.7 mm"], ["rod-end-unsaid", "rod-end-unsaid"]),
        (["190.1 mm", "909.9 mm"], ["rod-ends-nowhere", "rod-ends-nowhere"]),
    ],
)
def test_a_rod_ends_at_a_part_or_its_nut_and_five_millimetres_off_one(stations, modes):
    """A nut of M6 is 0.8 diameters high: 5 + 4.8 mm."""
    parts = [SimpleNamespace(span_m=(0.2, 0.9))]
    found = list(details._loose_ends(scene(parts=parts), rod(stations=stations)))
    assert [row.mode.value for row in found] == modes
    assert all(row.reserve is None for row in found)
    held = rod(stations=stations, bears_on={"thickness": "6 mm", "material": "birch plywood"})
    assert list(details._loose_ends(scene(parts=parts), held)) == []


@pytest.mark.parametrize(
    ("stations", "nowhere"), [(["184.3 mm", "915.7 mm"], 0), (["184.1 mm", "915.9 mm"], 2)]
)
def test_a_rod_may_stand_its_plate_farther_off(stations, nowhere):
    """As above, and a plate of 6 mm."""
    parts = [SimpleNamespace(span_m=(0.2, 0.9))]
    held = rod(stations=stations, bears_on={"thickness": "6 mm", "material": "birch plywood"})
    found = [row.mode.value for row in details._loose_ends(scene(parts=parts), held)]
    assert found == ["rod-ends-nowhere"] * nowhere


def test_rods_with_play_are_not_known_half_way_along_them():
    loose = rod(slip="0.5 mm", bears_on={"thickness": "6 mm", "material": "birch plywood"})
    (row,) = details._rod_rows(scene(parts=[SimpleNamespace(span_m=(0.2, 0.9))]), loose)
    assert (row.mode, row.because) == (FailureMode.ROD_LOOSE, Because.PLAY)
    assert row.station_m == pytest.approx(0.55)


@pytest.mark.parametrize(
    ("given", "is_loose"),
    [
        ({"slip": "0.5 mm"}, True),
        ({"slip": "0 mm"}, False),
        ({}, False),
        ({"slip": "0.5 mm", "preload": "100 N"}, False),
    ],
)
def test_only_play_without_preload_is_loose(given, is_loose):
    assert cuts.loose(rod(**given)) is is_loose


def test_of_each_occasion_the_hardest_pull_within_the_rod_is_taken():
    def entry(station_m, high):
        return SimpleNamespace(station_m=station_m, load=exact(high), case=None)

    pulls = {
        0: [entry(0.1, 9000.0), entry(0.5, 100.0)],
        1: [entry(0.9, 300.0), entry(0.95, 9000.0)],
        2: [entry(0.3, 50.0), SimpleNamespace(station_m=0.4, load=None, case=None)],
    }
    cases = [
        SimpleNamespace(case=SimpleNamespace(occasion=Occasion.FLIGHT)),
        SimpleNamespace(case=SimpleNamespace(occasion=Occasion.FLIGHT)),
        SimpleNamespace(case=SimpleNamespace(occasion=list(Occasion)[-1])),
    ]
    one = scene()
    one.cases = cases
    one.grid = SimpleNamespace(
        all_of=lambda mode, case: pulls[case] if mode is FailureMode.ROD_PULLED else []
    )
    assert [found.load.value for found in details._hardest_pulls(one, rod())] == [300.0, 50.0]


# ---------------------------------------------------------------- thrust and retention


def mounted(**motor):
    usual = {
        "nozzle_station": Quantity(value=1.2, text="1.2 m"),
        "thrust_plate": None,
        "tube": None,
        "retainer": None,
    }
    day = SimpleNamespace(temperature=Quantity(value=293.15, text="20 degC"))
    sheet = SimpleNamespace(motor=SimpleNamespace(**{**usual, **motor}), launch=day)
    engine = SimpleNamespace(thrusts_n=np.array([0.0, 800.0, 600.0]), thrust_spread=0.1, diameter_m=0.054)
    return scene(sheet, motor=engine)


def test_thrust_is_sheared_through_the_glue_of_the_tube():
    tube = GluedTubeEntry.model_validate({"glue": "epoxy on print", "length": "120 mm", "diameter": "60 mm"})
    rows = rows_of(details._thrust_rows(mounted(tube=tube)))
    row = rows[FailureMode.MOTOR_TUBE_LETS_GO]
    stress = 800.0 / (math.pi * 0.06 * 0.12)
    assert (row.load.low, row.load.value, row.load.high) == pytest.approx(
        (0.9 * stress, stress, 1.1 * stress)
    )
    assert row.strength == glue("epoxy on print").shear_pa
    assert (row.station_m, row.case.load) == (1.2, Load.MAX_THRUST)
    assert set(rows) == {FailureMode.MOTOR_TUBE_LETS_GO}


def plate(**given):
    usual = {"thickness": "8 mm", "material": "birch plywood", "hole": "45 mm", "held_at": "90 mm"}
    return ThrustPlateEntry.model_validate({**usual, **given})


def test_a_thrust_plate_bends_as_a_ring_and_its_hole_up_to_doubles_that():
    """Held at its rim, pushed on the motor's circle; a hole half as wide as the rim: half as much again."""
    row = rows_of(details._thrust_rows(mounted(thrust_plate=plate())))[FailureMode.THRUST_PLATE_BREAKS]
    without = details.ring_plate_stress(1.0, 0.09, 0.054, 0.008, poisson=BOARD.poisson)
    assert row.load.value == pytest.approx(800.0 * without * 1.5)
    assert row.strength.value == 60e6
    # Twice as thick, a quarter of the stress.
    thick = rows_of(details._thrust_rows(mounted(thrust_plate=plate(thickness="16 mm"))))
    assert thick[FailureMode.THRUST_PLATE_BREAKS].load.value == pytest.approx(row.load.value / 4)
    printed = rows_of(details._thrust_rows(mounted(thrust_plate=plate(material="PETG"))))
    assert printed[FailureMode.THRUST_PLATE_BREAKS].strength.value == 20e6
    assert printed[FailureMode.THRUST_PLATE_BREAKS].warmth_left == 0.9


@pytest.mark.parametrize(
    ("hole", "held_at", "pushed_m"),
    [("45 mm", "90 mm", 0.054), ("60 mm", "90 mm", 0.06), ("45 mm", "50 mm", 0.98 * 0.05)],
)
def test_a_plate_is_pushed_on_the_larger_of_motor_and_hole_inside_its_rim(
    monkeypatch, hole, held_at, pushed_m
):
    asked = []
    monkeypatch.setattr(details, "ring_plate_stress", lambda *given, poisson: asked.append(given) or 1.0)
    list(details._thrust_rows(mounted(thrust_plate=plate(hole=hole, held_at=held_at))))
    assert asked[0][2] == pytest.approx(pushed_m)


def test_a_mount_that_says_neither_plate_nor_tube_is_not_known():
    (row,) = details._thrust_rows(mounted())
    assert (row.mode, row.reserve, row.station_m) == (FailureMode.THRUST_UNSAID, None, 1.2)


@pytest.mark.parametrize(
    ("given", "held_n"),
    [
        ({}, 3 * 240e6 * M6_STRESS_AREA_M2),
        # Threads cut into print: half of the cylinder, in shear across the layers.
        ({"holds_in": "PETG"}, 3 * SHEAR * 20e6 * math.pi * 0.006 * 0.006 / 2),
        ({"holds_in": "PETG", "engagement": "10 mm"}, 3 * SHEAR * 20e6 * math.pi * 0.006 * 0.010 / 2),
        ({"holds_in": "PETG", "engagement": "500 mm"}, 3 * 240e6 * M6_STRESS_AREA_M2),
    ],
)
def test_a_retainer_holds_by_its_screws_or_by_what_they_are_driven_into(given, held_n):
    keep = RetainerEntry.model_validate({"screw": "M6", "count": 3, **given})
    assert retainer_holds(keep, scene().stuff).value == pytest.approx(held_n, rel=5e-3)


def loaded(load, aft_m_s2, *, reaches=(0.5, 1.19), factor=1.0):
    loads = SimpleNamespace(stations_m=np.array(reaches), motion=SimpleNamespace(aft_m_s2=aft_m_s2))
    body = SimpleNamespace(loads=loads, axial_factor=exact(factor))
    return SimpleNamespace(case=Case(load=load), body=body)


def test_a_motor_is_left_behind_by_a_body_that_is_pulled_forward(monkeypatch):
    monkeypatch.setattr(
        details, "motor_row", lambda vehicle, left: SimpleNamespace(body=SimpleNamespace(mass_kg=1.5 - left))
    )
    one = mounted()
    pulled = [
        loaded(Load.CORD_PULLS, -200.0),
        loaded(Load.LANDING, 500.0),  # pushed aft: the motor is pressed in
        loaded(Load.MAX_THRUST, -900.0),  # the motor pushes itself
        loaded(Load.CORD_PULLS, -900.0, reaches=(0.0, 0.5)),  # of the half that it is not in
        loaded(Load.CORD_PULLS, -190.0, factor=1.2),
        loaded(Load.CANOPY_OPENS, -100.0, reaches=(1.15, 1.15)),  # 50 mm ahead of the nozzle
    ]
    load, case = details._left_behind(one, pulled)
    assert load.value == pytest.approx(1.5 * 190.0 * 1.2)
    assert case.load is Load.CORD_PULLS
    assert details._left_behind(one, pulled[1:4]) is None
    assert details._left_behind(one, pulled[5:])[0].value == pytest.approx(150.0)
    assert details._left_behind(one, [loaded(Load.CANOPY_OPENS, -100.0, reaches=(1.149, 1.149))]) is None


def test_a_mount_without_a_retainer_is_not_known():
    (row,) = details._retention_rows(mounted())
    assert (row.mode, row.because, row.station_m) == (FailureMode.MOTOR_LEAVES, Because.RETAINER_UNSAID, 1.2)


# ---------------------------------------------------------------- dowels and thin prints


def sheared(shear_n, *, high=1.0, ends=(0.0, 1.0), occasion=Load.MAX_SPEED):
    loads = SimpleNamespace(at=lambda station: SimpleNamespace(shear_n=np.array([0.5 * shear_n, -shear_n])))
    factor = Estimate(value=1.0, low=1.0, high=high, known_by=KnownBy.COMPUTED, method="")
    return SimpleNamespace(
        case=Case(load=occasion), body=SimpleNamespace(loads=loads, ends_m=ends, bending_factor=factor)
    )


def test_dowels_hold_the_hardest_shear_of_each_occasion_in_shear_or_bearing(monkeypatch):
    monkeypatch.setattr(details, "part_joints", lambda vehicle: [(0.5, part(dowels=DOWELS)), (0.7, part())])
    one = scene()
    one.cases = (
        sheared(300.0),
        sheared(280.0, high=1.5),
        sheared(9e9, ends=(0.5, 1.0)),
        sheared(9e9, ends=(0.0, 0.5)),
    )
    (row,) = details._dowel_rows(one)
    assert (row.load.value, row.load.high) == pytest.approx((280.0, 420.0))
    bears, shears = 0.005 * 0.010 * 1.5 * 40e6, math.pi / 4 * 0.005**2 * SHEAR * BOARD.ultimate_pa.value
    assert row.strength.value == pytest.approx(4 * min(bears, shears))
    assert (row.station_m, row.subject, row.warmth_left) == (0.5, "tower", 0.9)
    one.cases = (*one.cases, sheared(10.0, occasion=Load.LANDING))
    assert [row.case.load for row in details._dowel_rows(one)] == [Load.MAX_SPEED, Load.LANDING]


@pytest.mark.parametrize(
    ("wall_m", "nozzle_m", "least_m"),
    [(0.00039, None, 0.0004), (0.0004, None, None), (0.0005, 0.0006, 0.0006), (0.0006, 0.0006, None)],
)
def test_a_wall_thinner_than_the_nozzle_cannot_be_laid_down(wall_m, nozzle_m, least_m):
    """0.4 mm, the usual one, where none is said; common practice."""
    printer = nozzle_m and SimpleNamespace(nozzle=Quantity(value=nozzle_m, text=""))
    one = scene(SimpleNamespace(print=printer), parts=[part(wall_m=wall_m), part("bought", None)])
    found = list(details._thin_prints(one))
    assert [row.load.value for row in found] == ([] if least_m is None else [least_m])
    for row in found:
        assert row.reserve.value == pytest.approx(wall_m / least_m)
        assert row.reserve.known_by is (KnownBy.MEASURED if nozzle_m else KnownBy.ASSUMED)
        assert (row.station_m, row.because) == (0.2, Because.NOZZLE)


def test_a_printed_fin_needs_two_lines_side_by_side():
    def fin(thickness_m, stuff=PLASTIC):
        return SimpleNamespace(
            fins=SimpleNamespace(name=f"{thickness_m}", station_m=0.8),
            thickness=exact(thickness_m),
            stuff=stuff,
        )

    one = scene(SimpleNamespace(print=None), parts=[])
    one.fins = (fin(0.00079), fin(0.0008), fin(0.0007, STEEL), fin(0.0007, None))
    (row,) = details._thin_prints(one)
    assert (row.subject, row.load.value, row.station_m) == ("0.00079", 0.0008, 0.8)


# ---------------------------------------------------------------- pressed walls


def test_a_flat_front_is_a_clamped_round_plate():
    """Three quarters of p r2 / t2 at a clamped rim (Roark), which infill may take from it."""
    skin = SimpleNamespace(sections=[SimpleNamespace(station_m=0.2, area_m2=math.pi * 0.05**2)])
    one = scene(SimpleNamespace(vehicle=SimpleNamespace(up="+z")), skin=skin, parts=[part()])
    fastest = SimpleNamespace(dynamic_pressure_pa=5000.0, case=Case(load=Load.MAX_SPEED))

    def lid(built, infill=0.0):
        built.spec.print.infill = Quantity(value=infill, text="")
        details_part, details.part_at = details.part_at, lambda vehicle, station_m: built
        try:
            return list(details._flat_front(one, fastest))
        finally:
            details.part_at = details_part

    (hollow,) = lid(part())
    free = 0.75 * 5000.0 * 0.05**2 / 0.0016**2
    # Pressure or suction of 0.3 to 1 of the dynamic pressure.
    assert (hollow.load.low, hollow.load.high) == pytest.approx((0.3 * free, free))
    assert (hollow.strength.value, hollow.station_m, hollow.warmth_left) == (40e6, 0.2, 0.9)
    (filled,) = lid(part(), 0.3)
    assert filled.load.high < hollow.load.high
    (lying,) = lid(part(layers="x"))
    assert lying.strength.value == 20e6
    skin.sections[0].area_m2 = 0.0
    assert lid(part()) == []


def test_infill_takes_from_a_wall_and_never_adds():
    plate_of = details.Plate(thickness_m=0.0016, modulus_pa=2e9, poisson=0.35)
    assert details._on_infill(5e6, (plate_of, 5000.0), (0.0, 0.05)) == 5e6
    some, more = (details._on_infill(5e9, (plate_of, 5000.0), (share, 0.05)) for share in (0.1, 0.4))
    assert more < some < 5e9
    assert details._on_infill(1.0, (plate_of, 5000.0), (0.1, 0.05)) == 1.0


def test_a_flat_wall_bends_between_its_corners_or_between_its_ledges():
    """Clamped rectangle, three times as long as wide: half of p b2 / t2 at the edge (Roark)."""
    long = details._pressed_stress(cut(), PLASTIC, 5000.0)
    assert long == pytest.approx(0.5 * 5000.0 * 0.1**2 / 0.0016**2, rel=0.02)
    assert details._pressed_stress(cut(length_m=0.05), PLASTIC, 5000.0) < long
    assert details._bent_strength(cut(length_m=0.0999), PLASTIC).value == 20e6
    assert details._bent_strength(cut(length_m=0.1), PLASTIC).value == 40e6


def test_two_skins_on_a_core_bend_together_and_each_on_its_core():
    thin = SimpleNamespace(skin_m=0.0008, infill=0.2, bent_like_m=0.004)
    hollow = SimpleNamespace(skin_m=0.0008, infill=0.0, bent_like_m=0.004)
    free = 0.5 * 5000.0 * 0.1**2
    with_core = details._pressed_stress(cut(sandwich=thin, infill=0.2), PLASTIC, 5000.0)
    alone = details._pressed_stress(cut(sandwich=hollow), PLASTIC, 5000.0)
    assert alone == pytest.approx(free / 0.0008**2, rel=0.02)
    assert with_core < alone
    assert with_core >= 0.98 * free / 0.004**2
