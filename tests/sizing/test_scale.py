"""A shape at other heights: by hand for one box, against mass table and margin for an example."""

import math
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.looks.answer import answer
from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.findings.check import load
from finial.inside.drawn import MotorRoom
from finial.motors.motor import Motor
from finial.printing.effort import TRAVEL, Printer
from finial.printing.walls import PrintedWalls
from finial.sizing import scale
from finial.sizing.scale import PrintedShape, Scaling, ScalingRow, at_height, heights, models_of, scaling_of

EXAMPLES = Path(__file__).parents[2] / "examples"
PRINTER = Printer(line_width_m=0.45e-3, layer_m=0.2e-3, speed_m_s=0.06)
BOX = PrintedShape(
    name="box",
    volume_m3=0.1 * 0.1 * 0.5,
    area_m2=0.22,
    walls=PrintedWalls(wall_m=1.2e-3, infill=0.1),
    density_kg_m3=1240.0,
    size_m=(0.1, 0.1, 0.5),
    upright=2,
    printer=PRINTER,
)
KILO = 1240.0 * (0.22 * 1.2e-3 + 0.1 * (0.005 - 0.22 * 1.2e-3))
SHAPE = Scaling(
    name="box",
    length_m=0.5,
    width_m=0.11,
    rows=(
        ScalingRow(mass=exact(KILO), station=exact(0.25), power=3, shape=BOX),
        ScalingRow(mass=exact(0.3), station=exact(0.1), power=0),
        ScalingRow(mass=exact(0.05), station=exact(0.4), power=2),
        ScalingRow(mass=exact(0.08), station=exact(0.3), power=1),
    ),
    pressure_m=spread(0.35, 0.1, known_by=KnownBy.COMPUTED),
    bed_m=(0.22, 0.22, 0.25),
    thrust_to_weight=5.0,
)


def test_at_the_drawn_height_nothing_moves() -> None:
    one = at_height(SHAPE, 0.5, 10.0)
    assert one.scale == pytest.approx(0.05)
    assert one.dry_kg.value == pytest.approx(KILO + 0.3 + 0.05 + 0.08)
    assert one.pieces == 2


def test_twice_as_high_by_hand() -> None:
    """Surface four times, volume eight times, the walls stay; plates four times, rods twice."""
    one = at_height(SHAPE, 1.0, 10.0)
    shell = 4 * 0.22 * 1.2e-3
    plastic = shell + 0.1 * (8 * 0.005 - shell)
    dry = 1240.0 * plastic + 0.3 + 4 * 0.05 + 2 * 0.08
    assert one.dry_kg.value == pytest.approx(dry)
    push = 5.0 * 9.80665
    assert one.impulse_ns.low == pytest.approx(push * dry / (1 - push * 0.9e-3))
    assert one.impulse_ns.high == pytest.approx(3 * push * dry / (1 - 3 * push * 1.2e-3))
    # NFPA 1125: over 320 N s are I, over 640 to 1280 J.
    assert 320 < one.impulse_ns.low <= 640
    assert 640 < one.impulse_ns.high <= 1280
    assert one.letters == ("I", "J")
    # 0.2 x 0.2 x 1 m on a bed of 220 mm that prints 250 mm high: four.
    assert one.pieces == 4
    assert one.print_time_s.value == pytest.approx(TRAVEL * plastic / (0.45e-3 * 0.2e-3 * 0.06))


def test_the_margin_is_the_centre_of_pressure_less_the_balance_point_with_a_motor() -> None:
    one = at_height(SHAPE, 1.0, 10.0)
    motor = 1.05e-3 * one.impulse_ns.value
    masses = [row.mass_at(2.0).value for row in SHAPE.rows]
    moment = sum(m * 2 * row.station.value for m, row in zip(masses, SHAPE.rows, strict=True)) + motor * 0.85
    balance = moment / (sum(masses) + motor)
    assert one.margin_m.value == pytest.approx(2 * 0.35 - balance)
    assert one.margin_m.low < one.margin_m.value - 2 * 0.035
    assert one.margin_widths.value == pytest.approx(one.margin_m.value / 0.22)


def test_without_a_bed_pieces_and_hours_are_not_known() -> None:
    bare = replace(SHAPE.rows[0], shape=replace(BOX, size_m=None, printer=None))
    one = at_height(replace(SHAPE, bed_m=None, rows=(bare, *SHAPE.rows[1:])), 0.5, 10.0)
    assert (one.pieces, one.print_time_s) == (None, None)


def test_an_example_keeps_its_masses_and_its_checked_margin_lies_in_the_band() -> None:
    """At its drawn height: dry mass of the table to the gram, and the margin of the whole check within."""
    from finial.assemble.basis import basis_of

    light = load(EXAMPLES / "skerry-light" / "skerry-light.toml")
    basis = basis_of(light)
    one = at_height(scaling_of(light, 5.0), light.skin.length_m, 32.0)
    assert one.dry_kg.value == pytest.approx(sum(row.mass.value for row in basis.rows), abs=1e-6)
    assert one.lift_off_kg.meets(exact(basis.mass.lift_off.mass_kg))
    slow = basis.stability[0].margin
    assert one.margin_m.meets(slow)
    assert one.pieces is not None
    lower, drawn, higher = models_of(scaling_of(light, 5.0), (0.6, 1.2, 2.4), 32.0)
    assert lower.dry_kg.value < drawn.dry_kg.value < higher.dry_kg.value
    assert lower.print_time_s.value < drawn.print_time_s.value < higher.print_time_s.value


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: at_height(SHAPE, 0.0, 10.0), "height_m"),
        (lambda: at_height(SHAPE, 1.0, math.nan), "real_m"),
        (lambda: at_height(replace(SHAPE, thrust_to_weight=300.0), 1.0, 10.0), "no motor lifts"),
        (lambda: heights((1.0, 0.5), 3), "the lowest first"),
        (lambda: heights((0.5, 1.0), 61), "61 heights"),
    ],
)
def test_what_is_no_height_is_refused(make, said) -> None:
    with pytest.raises(OutsideRange, match=said):
        make()


def motor(name: str, push_n: float, burn_s: float, mass_kg: float, length_m: float = 0.2) -> Motor:
    """Thrust all but flat: it rises and falls within a thousandth of the burn."""
    return Motor(
        name=name,
        diameter_m=0.054,
        length_m=length_m,
        loaded_mass_kg=mass_kg,
        propellant_mass_kg=mass_kg / 2,
        times_s=np.array([0.0, 1e-3 * burn_s, burn_s, 1.001 * burn_s]),
        thrusts_n=np.array([0.0, push_n, push_n, 0.0]),
        thrust_spread=0.05,
    )


def test_of_the_builders_motors_the_least_that_lifts_is_taken_by_hand() -> None:
    """Five times the weight at 0.95 of the thrust; mass and margin are with it."""
    dry = at_height(SHAPE, 0.5, 10.0).dry_kg.value
    enough = 5.0 * 9.80665 * (dry + 0.4) / 0.95
    short, just = motor("short", 0.99 * enough, 1.0, 0.4), motor("just", 1.02 * enough, 1.0, 0.4)
    long_burn = motor("long burn", 1.02 * enough, 3.0, 0.4)
    too_long = motor("too long", 1.02 * enough, 0.5, 0.4, length_m=0.6)
    shape = replace(SHAPE, motors=(long_burn, short, too_long, just))
    one = at_height(shape, 0.5, 10.0)
    assert one.motor == "just"
    assert one.lift_off_kg.value == pytest.approx(dry + 0.4)
    moment = sum(row.mass_at(1.0).value * row.station.value for row in SHAPE.rows) + 0.4 * (0.5 - 0.1)
    assert one.margin_m.value == pytest.approx(0.35 - moment / (dry + 0.4))
    # The class stays what any motor would need.
    assert one.letters == at_height(SHAPE, 0.5, 10.0).letters


def test_a_motor_goes_into_the_room_at_the_base_of_that_height() -> None:
    """A bore of 60 mm, 210 mm deep: a motor of 54 by 250 mm goes in from 1.19 times the size on."""
    bore = MotorRoom(
        across_m=0.06,
        is_bore=True,
        stations_m=np.array([0.5, 0.29, 0.28]),
        clear_m=np.array([0.06, 0.06, 0.0]),
    )
    mine = motor("mine", 5.0 * 9.80665 * 9.0 / 0.95, 1.0, 0.4, length_m=0.25)
    shape = replace(SHAPE, motors=(mine,), room=bore)
    assert [at_height(shape, 0.5 * scale, 10.0).motor for scale in (1.0, 1.18, 1.2)] == [None, None, "mine"]
    # At nine tenths the bore is 54 mm across, at less the motor is too thick for it, however short.
    short = replace(shape, motors=(replace(mine, length_m=0.1),))
    assert [at_height(short, 0.5 * scale, 10.0).motor for scale in (0.91, 0.89)] == ["mine", None]


def test_thrust_to_weight_is_told_with_that_motor_and_by_the_cold_of_the_day() -> None:
    """0.95 of the thrust over the heavy end; a day that moves thrust by a tenth wants a stronger motor."""
    mine = motor("mine", 5.2 * 9.80665 * (at_height(SHAPE, 0.5, 10.0).dry_kg.value + 0.4) / 0.95, 1.0, 0.4)
    one = at_height(replace(SHAPE, motors=(mine,)), 0.5, 10.0)
    assert one.thrust_to_weight.low == pytest.approx(5.2, rel=2e-3)
    assert one.rail_speed is None
    light = load(EXAMPLES / "skerry-light" / "skerry-light.toml")
    launch = scaling_of(light, 5.0, (mine,)).launch
    assert at_height(replace(SHAPE, motors=(mine,), launch=launch), 0.5, 10.0).motor == "mine"
    cold = replace(launch, thrust_drift=0.1)
    assert at_height(replace(SHAPE, motors=(mine,), launch=cold), 0.5, 10.0).motor is None


def test_an_example_with_its_own_motor_leaves_the_rail_as_its_flights_do() -> None:
    """At the drawn height: thrust to weight of the check to its drawn motor's mass, the speed within 1 %."""
    light = load(EXAMPLES / "skerry-light" / "skerry-light.toml")
    one = at_height(scaling_of(light, 5.0, (light.motor,)), light.skin.length_m, 32.0)
    flown = answer(light).flight
    assert one.motor == light.motor.name
    assert one.thrust_to_weight.value == pytest.approx(flown.thrust_to_weight.value, rel=1e-6)
    for end in ("value", "low", "high"):
        assert getattr(one.rail_speed, end) == pytest.approx(getattr(flown.rail_exit_speed, end), rel=0.01)


def test_a_motor_lifts_the_mass_at_its_heavy_end() -> None:
    """A kilogram to a half either way: what lifts 1.2 kg does not lift 1.5 kg."""
    lump = ScalingRow(mass=spread(1.0, 0.5, known_by=KnownBy.ASSUMED), station=exact(0.3), power=0)
    for lifted_kg, taken in ((1.2, None), (1.55, "mine")):
        mine = motor("mine", 5.0 * 9.80665 * (lifted_kg + 0.4) / 0.95, 1.0, 0.4)
        assert at_height(replace(SHAPE, rows=(lump,), motors=(mine,)), 0.5, 10.0).motor == taken


def test_where_none_of_the_builders_motors_lifts_it_the_motor_stays_a_guess() -> None:
    shape = replace(SHAPE, motors=(motor("weak", 10.0, 1.0, 0.1),))
    one, plain = at_height(shape, 0.5, 10.0), at_height(SHAPE, 0.5, 10.0)
    assert one.motor is None
    assert one.lift_off_kg == plain.lift_off_kg
    assert one.margin_m == plain.margin_m


def test_where_the_pressure_acts_is_read_at_small_angles_alone(monkeypatch) -> None:
    rows = np.array([[0.5, 0.6, 0.9]]).T
    band = SimpleNamespace(
        angles_rad=np.radians([2.0, 4.0, 12.0]), pressure_forward_m=rows - 0.1, pressure_central_m=rows,
        pressure_aft_m=rows + 0.1, table=None,
    )  # fmt: skip
    monkeypatch.setattr(scale, "begun_answer", lambda vehicle: SimpleNamespace(air=band))
    monkeypatch.setattr(scale, "mass_rows", lambda vehicle, fins: ())
    monkeypatch.setattr(scale, "fin_sets", lambda vehicle: ())
    monkeypatch.setattr(scale, "_shapes", lambda vehicle, settings: ())
    vehicle = SimpleNamespace(
        sheet=SimpleNamespace(print=None, vehicle=SimpleNamespace(name="shape")),
        skin=SimpleNamespace(length_m=1.2, width_m=0.1, breadth_m=0.1),
    )
    found = scaling_of(vehicle, 5.0).pressure_m
    assert (found.low, found.value, found.high) == pytest.approx((0.4, 0.55, 0.7))
    # Where none is small, the smallest there is.
    band.angles_rad = np.radians([6.0, 8.0, 12.0])
    lone = scaling_of(vehicle, 5.0).pressure_m
    assert (lone.low, lone.value, lone.high) == pytest.approx((0.4, 0.5, 0.6))


def test_heights_begin_and_end_where_they_are_said_to() -> None:
    assert heights((0.5, 1.0), 1) == (0.5,)
    assert heights((0.5, 1.0), 2) == (0.5, 1.0)
    assert heights((0.5, 1.0), 3) == (0.5, 0.75, 1.0)


@pytest.mark.parametrize("height_m", [0.25, 1.0])
def test_the_margin_s_ends_are_those_of_band_and_balance_apart(height_m: float) -> None:
    """The band grows with the shape: 0.7 of the length, a tenth of that either way."""
    one = at_height(SHAPE, height_m, 10.0)
    middle = 0.7 * height_m
    balance = middle - one.margin_m.value
    assert 0.0 < balance < height_m
    assert one.margin_m.high - one.margin_m.value >= 0.1 * middle
    assert one.margin_m.high < 1.1 * middle
    assert one.margin_m.low <= one.margin_m.value - 0.1 * middle
