"""Many flights: each is the flight that its own numbers describe, however they are cut up."""

from dataclasses import replace

import numpy as np
import pytest

from finial.atmosphere.turbulence import low_level_turbulence
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.flight.example import example_inputs
from finial.flight.fly import fly_stepping
from finial.flight.kernel import layout
from finial.flight.kernel import spread_layout as slots
from finial.flight.kernel.draws import fill_slots
from finial.flight.kernel.vary import vary
from finial.flight.many import RESULTS, ManyFlights, fly_many, joined, trace_of
from finial.flight.packing.many import CAMPAIGN_STEPPING, _profile, packed_many
from finial.flight.packing.pack import packed
from finial.flight.spread import (
    BELL,
    Draw,
    MassParts,
    Spread,
    canopy_slot,
    either_way,
    factor_of,
    moments_of_body,
    row_slot,
    whole_mass,
)
from finial.flight.uncertain import Drawn, Uncertain
from finial.mass.properties import MassProperties, combined


def _spread(*draws, gusts=False, masses=None):
    inputs = example_inputs()
    heights = np.arange(0.0, 700.0, 10.0) if gusts else np.empty(0)
    return Spread(
        draws=draws,
        masses=masses or whole_mass(inputs),
        wind_speed_m_s=4.0,
        gust_heights_m=heights,
    )


def _fixed(name, slot, value):
    """Draw without width: every flight gets this value."""
    return Draw(number=Uncertain(kind=Drawn.OTHER, of=name), slot=slot, shape="even", base=value)


def _varied_pool(spread, flight=0):
    many = packed_many(example_inputs(), spread, seed=3)
    pool, values = many.pool.copy(), np.empty(many.draws)
    own = np.empty(many.marks[slots.N_SLOTS])
    fill_slots(flight, many.marks, many.plan, np.empty(many.draws), own, values)
    vary(flight, many.marks, many.plan, own, np.empty(slots.MOMENTS), many.ints.copy(), pool)
    return many, pool


def test_without_spread_every_number_is_the_nominal_flights():
    many, pool = _varied_pool(_spread())
    assert pool == pytest.approx(many.pool, rel=1e-12, abs=1e-13)


def test_without_spread_it_flies_as_the_nominal_flight():
    many = packed_many(example_inputs(), _spread(), seed=3)
    found = fly_many(many, 0, 2)
    trace = fly_stepping(example_inputs(), CAMPAIGN_STEPPING)
    landing = [found.column("landing_east_m")[0], found.column("landing_north_m")[0]]
    assert landing == pytest.approx(trace.positions_m[-1, :2], abs=1e-4)
    assert found.column("apogee_m")[0] == pytest.approx(trace.event("apogee").height_agl_m, rel=1e-9)
    assert found.column("max_alpha_rad")[1] == pytest.approx(
        trace.alphas_rad[trace.times_s >= trace.event("rail exit").time_s][1:].max(), rel=1e-2
    )


def test_changes_are_those_of_the_inputs_themselves():
    inputs = example_inputs()
    thrust = inputs.thrust
    heavier = replace(
        inputs,
        thrust=replace(
            thrust,
            thrusts_n=thrust.thrusts_n * 1.03 / 1.1,
            times_s=thrust.times_s * 1.1,
            ignition_delay_s=0.25,
            tilt_rad=(0.004, -0.002),
            offset_m=(0.001, 0.002),
        ),
        mass=replace(inputs.mass, times_s=inputs.mass.times_s * 1.1),
        air=replace(inputs.air, temperature_k=300.0, pressure_pa=97_000.0),
        rail=replace(inputs.rail, tilt_rad=0.09, bearing_rad=1.2),
        canopies=tuple(
            replace(canopy, drag_area_m2=1.1 * canopy.drag_area_m2, delay_s=1.5) for canopy in inputs.canopies
        ),
    )
    draws = [
        _fixed("thrust", slots.THRUST_FACTOR, 1.03),
        _fixed("burn", slots.BURN_TIME_FACTOR, 1.1),
        _fixed("delay", slots.IGNITION_DELAY, 0.25),
        _fixed("lean y", slots.LEAN, 0.004),
        _fixed("lean z", slots.LEAN + 1, -0.002),
        _fixed("offset y", slots.NOZZLE_OFFSET, 0.001),
        _fixed("offset z", slots.NOZZLE_OFFSET + 1, 0.002),
        _fixed("temperature", slots.TEMPERATURE, 300.0),
        _fixed("pressure", slots.PRESSURE_AT_PAD, 97_000.0),
        _fixed("tilt", slots.RAIL_TILT, 0.09),
        _fixed("bearing", slots.RAIL_BEARING, 1.2),
        *(_fixed(f"area {c}", canopy_slot(0, c, "drag_factor"), 1.1) for c in range(2)),
        *(_fixed(f"late {c}", canopy_slot(0, c, "delay_s"), 1.5) for c in range(2)),
    ]
    _, pool = _varied_pool(_spread(*draws))
    assert pool == pytest.approx(packed(heavier, CAMPAIGN_STEPPING).pool, rel=1e-9, abs=1e-12)


def test_wind_is_stronger_turned_and_steeper():
    draws = [
        _fixed("speed", slots.WIND_SPEED, 6.0),
        _fixed("turn", slots.WIND_TURN, np.pi / 2),
        _fixed("exponent", slots.EXPONENT_CHANGE, 0.1),
    ]
    many, pool = _varied_pool(_spread(*draws))
    air = example_inputs().air
    count, at = many.ints[layout.N_WIND], many.ints[layout.AT_WIND]
    rows = pool[at : at + count * layout.WIND_COLUMNS].reshape(-1, layout.WIND_COLUMNS)
    grown = 1.5 * (np.maximum(air.wind_heights_m, 0.5) / 10.0) ** 0.1
    # A quarter turn clockwise: what blew to the north blows to the east.
    assert rows[:, 1] == pytest.approx(grown * air.wind_north_m_s)
    assert rows[:, 2] == pytest.approx(-grown * air.wind_east_m_s)


def test_rows_that_weigh_more_and_stand_elsewhere_add_by_the_parallel_axis_theorem():
    bodies = [
        MassProperties(
            mass_kg=mass,
            centre_m=np.array(centre),
            inertia_kg_m2=np.array([[0.01, 0.001, -0.002], [0.001, 0.2, 0.003], [-0.002, 0.003, 0.21]])
            * mass,
        )
        for mass, centre in ((2.0, (-0.3, 0.01, 0.0)), (3.0, (-0.8, 0.0, -0.02)))
    ]
    motor = MassProperties(mass_kg=1.4, centre_m=np.array([-1.0, 0, 0]), inertia_kg_m2=0.01 * np.eye(3))
    moments = [moments_of_body(body.mass_kg, body.centre_m, body.inertia_kg_m2) for body in (*bodies, motor)]
    times = example_inputs().mass.times_s
    masses = MassParts(
        rows=np.array(moments[:2]), motor_times_s=times, motor=np.array([moments[2]] * times.size)
    )
    shift = np.array([0.02, -0.003, 0.004])
    draws = [
        _fixed("mass", row_slot(0, "mass_factor"), 1.1),
        *(
            _fixed(f"shift {axis}", row_slot(0, f"shift_{axis}"), one)
            for axis, one in zip("xyz", shift, strict=True)
        ),
        _fixed("motor", slots.MOTOR_MASS_FACTOR, 1.02),
    ]
    many, pool = _varied_pool(_spread(*draws, masses=masses))
    moved = replace(
        bodies[0],
        mass_kg=2.2,
        centre_m=bodies[0].centre_m + shift,
        inertia_kg_m2=1.1 * bodies[0].inertia_kg_m2,
    )
    heavy = replace(motor, mass_kg=1.4 * 1.02, inertia_kg_m2=1.02 * motor.inertia_kg_m2)
    whole = combined([moved, bodies[1], heavy])
    row = pool[many.ints[layout.AT_BURN] :][: layout.BURN_COLUMNS]
    tensor = whole.inertia_kg_m2
    assert row[2] == pytest.approx(whole.mass_kg)
    assert row[3:6] == pytest.approx(whole.centre_m)
    assert row[6:9] == pytest.approx(np.diagonal(tensor))
    assert row[9:12] == pytest.approx([tensor[0, 1], tensor[0, 2], tensor[1, 2]])


def test_gusts_have_the_intensity_and_the_memory_of_the_standard():
    """Root mean square and correlation over 50 m, against MIL-F-8785C by atmosphere.turbulence."""
    draws = (_fixed("speed", slots.WIND_SPEED, 6.0),)
    spread = _spread(*draws, gusts=True)
    many, _ = _varied_pool(spread)
    count, at = int(many.ints[layout.N_WIND]), int(many.ints[layout.AT_WIND])
    winds = []
    for flight in range(600):
        _, pool = _varied_pool_of(many, flight)
        winds.append(pool[at : at + count * layout.WIND_COLUMNS].reshape(-1, layout.WIND_COLUMNS))
    winds = np.array(winds)
    heights = winds[0, :, 0]
    w20 = (
        6.0
        * np.interp(6.096, heights, np.hypot(*winds.mean(axis=0)[:, 1:3].T))
        / np.interp(10.0, heights, np.hypot(*winds.mean(axis=0)[:, 1:3].T))
    )
    level = low_level_turbulence(heights, w20)
    assert winds[:, :, 1].std(axis=0) == pytest.approx(level.along_intensity_m_s, rel=0.12)
    assert winds[:, :, 3].std(axis=0) == pytest.approx(level.vertical_intensity_m_s, rel=0.12)
    low, high = np.searchsorted(heights, [200.0, 250.0])
    expected = np.exp(-(heights[high] - heights[low]) / level.along_length_m[low:high].mean())
    assert np.corrcoef(winds[:, low, 1], winds[:, high, 1])[0, 1] == pytest.approx(expected, abs=0.06)


def _varied_pool_of(many, flight):
    pool, values = many.pool.copy(), np.empty(many.draws)
    own = np.empty(many.marks[slots.N_SLOTS])
    fill_slots(flight, many.marks, many.plan, np.empty(many.draws), own, values)
    vary(flight, many.marks, many.plan, own, np.empty(slots.MOMENTS), many.ints.copy(), pool)
    return many, pool


def _lively():
    return _spread(
        either_way(Uncertain(kind=Drawn.IMPULSE), slots.THRUST_FACTOR, 0.05, base=1.0, shape=BELL),
        Draw(
            number=Uncertain(kind=Drawn.WIND),
            slot=slots.WIND_SPEED,
            shape="even",
            base=4.0,
            below=2.0,
            above=3.0,
        ),
        Draw(
            number=Uncertain(kind=Drawn.STAYS_IN, of="main"),
            slot=canopy_slot(0, 1, "stays_in"),
            shape="odds",
            base=0.0,
            above=0.2,
        ),
        gusts=True,
    )


def test_results_do_not_depend_on_how_the_flights_are_cut():
    many = packed_many(example_inputs(), _lively(), seed=11)
    whole = fly_many(many, 0, 24)
    parts = [fly_many(many, first, count, threads=3) for first, count in ((0, 7), (7, 1), (8, 16))]
    assert np.array_equal(np.vstack([part.results for part in parts]), whole.results, equal_nan=True)
    assert np.array_equal(np.vstack([part.drawn for part in parts]), whole.drawn)
    assert len(np.unique(whole.column("apogee_m"))) == 24


def test_another_seed_is_another_campaign():
    one, other = (fly_many(packed_many(example_inputs(), _lively(), seed=at), 0, 2) for at in (1, 2))
    assert not np.array_equal(one.drawn, other.drawn)


def test_draws_fill_their_intervals_and_odds_come_true():
    drawn = fly_many(packed_many(example_inputs(), _lively(), seed=5), 0, 400).drawn
    thrust, wind, stays = drawn.T
    assert thrust.std() == pytest.approx(0.025, rel=0.15)
    assert (wind.min(), wind.max()) == (pytest.approx(2.0, abs=0.1), pytest.approx(7.0, abs=0.1))
    # Half the flights lie below the base, whatever the two sides' widths.
    assert np.mean(wind < 4.0) == pytest.approx(0.5, abs=0.08)
    assert stays.mean() == pytest.approx(0.2, abs=0.06)


def test_a_canopy_that_stays_in_lands_harder():
    found = fly_many(packed_many(example_inputs(), _lively(), seed=5), 0, 60)
    speed, failed = found.column("landing_speed_m_s"), found.drawn[:, 2] == 1.0
    assert speed[failed].min() > 1.5 * speed[~failed].max()


def test_shares_of_a_design_stand_in_for_the_kernels_own():
    many = packed_many(example_inputs(), _lively(), seed=5, drawn_here=False)
    middle = fly_many(many, 0, 3, shares=np.full((3, 3), 0.5))
    assert middle.drawn == pytest.approx(np.tile([1.0, 4.0, 0.0], (3, 1)))
    with pytest.raises(OutsideRange, match="give them"):
        fly_many(many, 0, 3)
    with pytest.raises(OutsideRange, match="both ends left out"):
        fly_many(many, 0, 1, shares=np.ones((1, 3)))


@pytest.mark.parametrize(
    ("draw", "words"),
    [
        (Draw(number=Uncertain(kind=Drawn.OTHER, of="x"), slot=0, shape="round", base=1.0), "shape 'round'"),
        (
            Draw(number=Uncertain(kind=Drawn.OTHER, of="x"), slot=0, shape="even", base=float("nan")),
            "finite ends",
        ),
        (
            Draw(number=Uncertain(kind=Drawn.OTHER, of="x"), slot=0, shape="odds", base=0.0, above=2.0),
            "0.02, not 2",
        ),
        (Draw(number=Uncertain(kind=Drawn.OTHER, of="x"), slot=999, shape="even", base=0.0), "slot 999"),
    ],
)
def test_draws_that_make_no_sense_are_refused(draw, words):
    with pytest.raises(OutsideRange, match=words):
        packed_many(example_inputs(), _spread(draw), seed=1)


def test_a_flight_that_never_leaves_the_pad_is_a_row_too():
    weak = _fixed("thrust", slots.THRUST_FACTOR, 0.1)
    found = fly_many(packed_many(example_inputs(), _spread(weak), seed=1), 0, 1)
    assert found.column("ended")[0] == layout.NO_LIFT_OFF
    assert np.isnan(found.column("landing_east_m")[0])


def test_names_and_columns_go_together():
    assert len(RESULTS) == slots.N_RESULTS


def test_a_flight_flown_again_has_the_landing_of_its_row():
    many = packed_many(example_inputs(), _lively(), seed=11)
    found = fly_many(many, 7, 1)
    trace = trace_of(many, 7, ("drogue", "main"))
    landing = [found.column("landing_east_m")[0], found.column("landing_north_m")[0]]
    assert trace.positions_m[-1, :2].tolist() == landing
    assert trace.event("apogee").height_agl_m == found.column("apogee_m")[0]
    with pytest.raises(OutsideRange, match="count from 0"):
        trace_of(many, -1, ())


def test_the_wind_of_a_column_is_its_share_of_the_speed_that_it_belongs_to():
    air = replace(
        example_inputs().air,
        wind_heights_m=np.array([0.0, 10.0]),
        wind_east_m_s=np.array([1.0, 4.0]),
        wind_north_m_s=np.array([0.0, -3.0]),
    )
    assert _profile(air, 5.0).tolist() == [[0.0, 0.2, 0.0], [10.0, 0.8, -0.6]]
    one = replace(air, **{name: getattr(air, name)[1:] for name in ("wind_heights_m", "wind_east_m_s")})
    one = replace(one, wind_north_m_s=air.wind_north_m_s[1:])
    assert _profile(one, 5.0).tolist() == [[10.0, 0.8, -0.6], [11.0, 0.8, -0.6]]
    assert _profile(air, 0.5)[1, 1] == 8.0
    with pytest.raises(OutsideRange, match="above 0 m/s"):
        _profile(air, 0.0)


@pytest.mark.parametrize("value", [0.0, -1.0])
def test_what_is_not_above_zero_has_no_factor_that_reaches_its_ends(value):
    band = Estimate(value=value, low=value - 1.0, high=value + 1.0, known_by=KnownBy.COMPUTED)
    with pytest.raises(OutsideRange, match="above 0"):
        factor_of(Uncertain(kind=Drawn.AXIAL_FORCE), slots.AXIAL_FACTOR, band)


def _part(first, count):
    numbers = np.arange(first, first + count, dtype=float)[:, None]
    return ManyFlights(first=first, results=numbers, drawn=10.0 * numbers)


def test_parts_in_any_order_are_put_together_flight_by_flight():
    whole = joined([_part(9, 2), _part(4, 3), _part(7, 2)])
    assert whole.first == 4
    assert whole.results[:, 0].tolist() == [4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0]
    assert (whole.drawn == 10.0 * whole.results).all()


@pytest.mark.parametrize(("second", "flight"), [(8, 7), (6, 7)])
def test_parts_with_a_flight_missing_or_twice_are_refused(second, flight):
    with pytest.raises(OutsideRange, match=f"flight {flight} is missing, or there twice"):
        joined([_part(4, 3), _part(second, 2)])
