"""A vehicle as it would be printed, walls shared with rods, bars worth breaking, clusters; on paper."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import MOTOR, PLASTIC, STEEL, about, quantity, rod

from finial.assemble.mass import bill
from finial.assemble.prints import strength
from finial.assemble.prints.results import Turned
from finial.assemble.strength import study
from finial.assemble.strength.fins import stay_study
from finial.assemble.vehicle import motors
from finial.core.estimates import exact
from finial.printing.joints import JointKind
from finial.structure.reserves import FailureMode

PULLED, CRUSHED = FailureMode.WALL_PULLED, FailureMode.WALL_CRUSHED


def along(*rows):
    """Station [m], reserve [-] and mode of each cut."""
    stations, reserves, modes = zip(*rows, strict=True)
    return SimpleNamespace(
        stations_m=np.array(stations), reserves=np.array(reserves), modes=modes, cases=("case",) * len(rows)
    )


def placed(name, fore, aft):
    return SimpleNamespace(spec=SimpleNamespace(name=name), span_m=(fore, aft))


def looked(by_station, reserves=()):
    return SimpleNamespace(strength=SimpleNamespace(by_station=by_station, reserves=reserves))


# ---------------------------------------------------------------------------- as printed


def test_seams_are_led_by_what_bears_most_and_weak_parts_lie_down():
    rows = along(
        (0.1, 4.0, PULLED),
        (0.4, 2.0, CRUSHED),
        (0.6, 1.4, PULLED),
        (0.8, np.nan, PULLED),
        (0.9, 0.0, CRUSHED),
    )
    vehicle = SimpleNamespace(
        parts=(
            placed("cap", 0.0, 0.3),
            placed("tower", 0.3, 0.5),
            placed("foot", 0.6, 0.7),
            placed("base", 0.7, 0.85),
        )
    )
    found = strength.known_loads(vehicle, looked(rows), 1.5)
    assert found.demand.stations_m.tolist() == [0.1, 0.4, 0.6]
    assert found.demand.shares == pytest.approx([1.4 / 4.0, 0.7, 1.0])
    # Only walls pulled across their layers; what nobody knows is weak.
    assert found.weak == ("foot", "base")
    assert strength.known_loads(vehicle, looked(rows), 1.39).weak == ("base",)
    nothing = strength.known_loads(vehicle, looked(along((0.1, np.nan, PULLED))), 1.5)
    assert nothing.demand.shares.size == 0
    assert strength.known_loads(vehicle, looked(None), 1.5).weak == ()


@pytest.mark.parametrize(("station_m", "low"), [(0.4, 2.0), (0.4000005, 2.0), (0.41, None), (None, None)])
def test_a_joint_has_the_reserve_of_the_cut_at_its_station(station_m, low):
    found = strength._at(along((0.1, 4.0, PULLED), (0.4, 2.0, CRUSHED)), station_m)
    assert (found and found.low) == low
    if low:
        assert (found.mode, found.case) == (CRUSHED, "case")
    assert strength._at(None, station_m) is None


def test_the_least_reserve_is_told_and_what_nobody_knows_is_less():
    assert strength._worst(along((0.1, 4.0, PULLED), (0.4, 2.0, CRUSHED))).mode is CRUSHED
    unknown = strength._worst(along((0.1, 4.0, PULLED), (0.2, np.nan, PULLED), (0.4, 2.0, CRUSHED)))
    assert math.isnan(unknown.low)
    assert unknown.mode is PULLED
    assert strength._worst(None).mode is None


def joint(part="tower", station_m=0.4, turned=Turned.ACROSS):
    return SimpleNamespace(part=part, station_m=station_m, turned=turned, kind=JointKind.GLUE)


def test_cuts_across_a_part_stand_in_its_sheet_and_those_along_it_do_not():
    joints = (joint(), joint("cap"), joint(station_m=None), joint(station_m=0.51234, turned=Turned.ACROSS))
    joints += tuple(joint(turned=turned) for turned in Turned if turned is not Turned.ACROSS)
    found = strength._cuts(SimpleNamespace(name="tower"), joints)
    assert [(cut.station.value, cut.station.text, cut.held_by) for cut in found] == [
        (0.4, "400.0 mm", "glue"), (0.51234, "512.3 mm", "glue"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("way", "up", "axis"),
    [
        ((1.0, 0.0, 0.0), "+z", "z"),
        ((-1.0, 0.0, 0.0), "+z", "z"),
        ((0.0, 1.0, 0.0), "+z", "x"),
        ((1.0, 0.0, 0.0), "-y", "y"),
    ],
)
def test_layers_are_stacked_along_the_mesh_axis_that_points_up_on_the_bed(way, up, axis):
    assert strength._layers(SimpleNamespace(lying=SimpleNamespace(up=way)), up) == axis


def test_the_plan_s_joints_are_judged_before_and_after(monkeypatch):
    monkeypatch.setattr(strength, "replace", lambda one, **new: SimpleNamespace(**(vars(one) | new)))
    before, after = along((0.1, 4.0, PULLED)), along((0.1, 3.0, PULLED), (0.4, 2.0, CRUSHED))
    unheld = [SimpleNamespace(mode=FailureMode.JOINT_UNHELD, subject=name) for name in ("b", "a", "b")]
    unheld.append(SimpleNamespace(mode=PULLED, subject="c"))
    plan = SimpleNamespace(joints=(joint(), joint(station_m=None)))
    found = strength._judged(plan, looked(before), looked(after, unheld))
    assert [one.reserve and one.reserve.low for one in found.joints] == [2.0, None]
    assert (found.strength.before.low, found.strength.after.low) == (4.0, 2.0)
    assert found.strength.unheld == ("b", "a")


# -------------------------------------------------------------------------- rods and bars


def test_springs_in_a_row_are_as_stiff_as_their_harmonic_mean():
    assert study._mean_stiffness(SimpleNamespace(ea=np.array([[1e6, 9.0], [4e6, 9.0]]))) == pytest.approx(
        1.6e6
    )
    assert study._mean_stiffness(SimpleNamespace(ea=np.empty((0, 2)))) == 1e6


def test_rods_run_between_their_ends():
    stack = SimpleNamespace(stations_m=np.array([0.1, 0.2, 0.3, 0.9, 1.0]))
    rods = (rod(), rod(stations=["950 mm", "1.1 m"]))
    told = SimpleNamespace(sheet=SimpleNamespace(rod=rods))
    assert study._along_rods(told, stack).tolist() == [False, False, True, False, True]
    none = SimpleNamespace(sheet=SimpleNamespace(rod=()))
    assert not study._along_rods(none, stack).any()


def test_the_worst_station_is_that_of_the_least_known_reserve():
    stack = SimpleNamespace(stations_m=np.array([0.1, 0.2, 0.3]))
    assert study._worst_station(stack, np.array([3.0, np.nan, 2.0]), 0.7) == 0.3
    assert study._worst_station(stack, np.full(3, np.nan), 0.7) == 0.7
    grid = SimpleNamespace(entry=lambda *at: SimpleNamespace(reserve=at))
    assert study._least(grid, (4, 5), np.array([3.0, np.nan, 2.0])) == (4, 5, 2)
    assert study._least(grid, (4, 5), np.full(3, np.nan)) is None


def test_of_the_shots_of_a_bay_the_hardest_counts():
    shots = [SimpleNamespace(peak=about(value, value, high)) for value, high in ((3e5, 3.5e5), (2e5, 4e5))]
    bursts = (SimpleNamespace(bay="bay", shots=shots), SimpleNamespace(bay="empty", shots=()))
    found = study._followed_pressures(SimpleNamespace(bursts=bursts))
    assert found == {"bay": shots[1].peak}
    assert study._followed_pressures(None) == {}


def test_bars_are_worth_breaking_of_each_print_pulled_across_layers_that_rests_on_tables(monkeypatch):
    untold = replace(PLASTIC, name="bare", upright_pa=None)
    stuffs = {"PETG": PLASTIC, "steel": STEEL, "own": replace(PLASTIC, name="own"), "bare": untold}
    monkeypatch.setattr(study, "sheet_material", lambda _sheet, name: stuffs[name])
    monkeypatch.setattr(study, "stacked", lambda _vehicle, part: part.stacked)

    def part(stuff, stacked=True):
        return SimpleNamespace(spec=SimpleNamespace(material=stuff), stacked=stacked)

    own = (SimpleNamespace(name="OWN", across=quantity(2e7)), SimpleNamespace(name="petg", across=None))
    vehicle = SimpleNamespace(
        sheet=SimpleNamespace(material=own),
        parts=(part("steel"), part("own"), part("bare"), part("PETG", False)),
    )
    assert list(study._worth_of_bars(vehicle, None)) == []
    vehicle.parts += (part("PETG"), part("PETG"))
    (found,) = study._worth_of_bars(vehicle, None)
    assert (found.material, found.now, found.bars) == ("PETG", PLASTIC.upright_pa, 5)
    assert found.with_bars.value == pytest.approx(20e6)


# --------------------------------------------------------------------------------- wires


@pytest.mark.parametrize("spans_print", [True, False])
def test_a_wire_at_rest_is_as_tight_as_told_and_as_the_day_makes_it(monkeypatch, spans_print):
    plastic = replace(PLASTIC, expansion_per_k=about(6e-5, 5e-5, 7e-5))
    steel = replace(STEEL, expansion_per_k=exact(1e-5))
    monkeypatch.setattr(
        stay_study, "sheet_material", lambda _sheet, name: {"PETG": plastic, "steel": steel}[name]
    )
    part = SimpleNamespace(spec=SimpleNamespace(material="PETG"))
    asked = []
    monkeypatch.setattr(
        stay_study, "part_at", lambda _vehicle, at: asked.append(at) or (part if spans_print else None)
    )
    monkeypatch.setattr(
        stay_study, "warmed_tension",
        lambda pair, run, structure_per_k, wire_per_k, warmer_by_k: (
            (structure_per_k - wire_per_k) * warmer_by_k * 1e5
        ),
    )  # fmt: skip
    build = SimpleNamespace(fins=SimpleNamespace(station_m=0.9), stuff=None if spans_print else plastic)
    vehicle = SimpleNamespace(sheet=None, skin=SimpleNamespace(length_m=0.8))
    stay = SimpleNamespace(preload=quantity(60.0, 10.0), material="steel")
    room = stay_study.ROOM_K
    found = stay_study.preload_of(vehicle, build, stay, (None, None), about(room, room - 10.0, room + 20.0))
    # (7e-5 - 1e-5) x 20 K x 1e5 = 120 N tighter in the heat, 60 N slacker in the cold: not below nothing.
    assert (found.low, found.value, found.high) == pytest.approx((0.0, 60.0, 190.0))
    assert asked == [0.8]


# -------------------------------------------------------------------------------- clusters


def place(offset_m=(0.0, 0.0), **given):
    usual = {"motor": MOTOR, "nozzle_station_m": 1.2, "tilt_rad": 0.0, "toward_rad": 0.0}
    return SimpleNamespace(offset_m=offset_m, **(usual | given))


def test_the_summed_thrust_lies_amid_its_motors_by_their_impulse(monkeypatch):
    strong = replace(MOTOR, thrusts_n=3.0 * MOTOR.thrusts_n)
    pair = (
        place((0.04, 0.0)),
        place((-0.04, 0.02), motor=strong, nozzle_station_m=1.0, tilt_rad=0.1, toward_rad=math.pi / 2),
    )
    found = motors._line(pair)
    assert found.offset_m == pytest.approx((-0.02, 0.015))
    assert found.nozzle_station_m == pytest.approx(1.05)
    assert found.tilt_rad == pytest.approx((0.0, math.asin(0.75 * math.sin(0.1))), abs=1e-12)
    monkeypatch.setattr(motors, "motor_places", lambda _vehicle: pair)
    assert motors.line_without(None, 0).offset_m == pytest.approx((-0.04, 0.02))
    assert motors.line_without(None, 1).offset_m == pytest.approx((0.04, 0.0))


def test_thrust_strays_where_one_of_a_pair_burns_longer(monkeypatch):
    times, short, long = (
        np.array([0.0, 1.0, 1.01, 2.0, 2.01]),
        [500.0, 500.0, 0, 0, 0],
        [500.0, 500, 500, 500, 0],
    )

    def burning(thrusts, y):
        return SimpleNamespace(
            times_s=times, thrusts_n=np.array(thrusts), body=SimpleNamespace(offset_m=(y, 0.0))
        )

    # What pushes with less than a tenth of the most no longer matters where it does.
    faint = [500.0, 500.0, 90.0, 90.0, 0.0]
    pairs = {
        name: (burning(short, 0.04), burning(thrusts, -0.04))
        for name, thrusts in (("long", long), ("faint", faint))
    }
    monkeypatch.setattr(motors, "_burning", lambda places, _first_s: pairs[places[0]])
    monkeypatch.setattr(motors, "_whole_line", lambda _places: SimpleNamespace(offset_m=(0.0, 0.0)))
    monkeypatch.setattr(motors, "motor_places", lambda vehicle: (vehicle.second,))
    motor = SimpleNamespace(ignition_delay_s=0.0)
    strays = {second: motors.thrust_wander_m(SimpleNamespace(second=second, motor=motor)) for second in pairs}
    assert strays == pytest.approx({"long": 0.04, "faint": 0.0})


# ------------------------------------------------------------------------------------ bill


def test_rods_are_cut_from_end_to_end_with_two_nuts_and_washers_each(monkeypatch):
    monkeypatch.setattr(bill, "_mass", lambda _masses, _kind, name: name)
    told = SimpleNamespace(sheet=SimpleNamespace(rod=(rod(count=3, washer="18 mm"), rod(count=2))))
    first, nuts, washers, other, _ = bill._rods(told, None)
    assert (first.count, first.cut_m, first.detail, first.material) == (3, pytest.approx(0.7), "M6", "steel")
    assert (nuts.count, washers.count, washers.sides_m) == (6, 6, (0.018,))
    assert (other.count, other.cut_m) == (2, pytest.approx(0.7))
