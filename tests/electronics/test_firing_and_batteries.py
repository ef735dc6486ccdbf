"""Firing current, cold batteries, wires."""

from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.electronics.batteries import cell_temperature, cold_resistance, cold_share, pad_hours
from finial.electronics.example import one_of_everything
from finial.electronics.firing import (
    FiringCircuit,
    continuity_limit,
    firing_current,
    igniter_kind,
    voltage_left,
)
from finial.electronics.paths import firing_paths
from finial.electronics.supply import path_current
from finial.electronics.wires import gauge_diameter, wire_resistance

MATCH = exact(1.5)


def circuit(igniter_ohm: Estimate = MATCH) -> FiringCircuit:
    return FiringCircuit(
        voltage_v=exact(7.4),
        internal_ohm=exact(0.1),
        switch_ohm=exact(0.02),
        wiring_ohm=exact(0.3),
        igniter_ohm=igniter_ohm,
    )


def test_low_current_belongs_to_the_high_resistance() -> None:
    wide = firing_current(circuit(igniter_ohm=spread(1.5, 0.2, known_by=KnownBy.HANDBOOK)))
    assert wide.low == pytest.approx(7.4 / (0.1 + 0.02 + 0.3 + 1.8))
    assert wide.high == pytest.approx(7.4 / (0.1 + 0.02 + 0.3 + 1.2))
    assert wide.known_by is KnownBy.HANDBOOK


def test_like_igniters_at_once_split_the_current_of_the_node() -> None:
    # Kirchhoff: three branches of 1.8 ohm make 0.6 ohm behind 0.12 ohm.
    current = firing_current(circuit(), (circuit(), circuit()))
    assert current.value == pytest.approx(7.4 / (0.12 + 0.6) / 3)


def test_a_stiff_battery_does_not_notice_a_second_igniter() -> None:
    stiff = FiringCircuit(
        voltage_v=exact(7.4),
        internal_ohm=exact(0.0),
        switch_ohm=exact(0.0),
        wiring_ohm=exact(0.3),
        igniter_ohm=exact(1.5),
    )
    assert firing_current(stiff, (stiff,)).value == pytest.approx(firing_current(stiff).value)


@pytest.mark.parametrize("ohm", [0.0, -1.0])
def test_a_shorted_igniter_is_refused(ohm: float) -> None:
    with pytest.raises(OutsideRange, match="igniter_ohm"):
        firing_current(circuit(igniter_ohm=exact(ohm)))


def test_unknown_igniter_lists_the_known_ones() -> None:
    with pytest.raises(MissingData, match="electric match"):
        igniter_kind("flash bulb")


def test_test_current_stays_below_no_fire() -> None:
    kind = igniter_kind("electric match")
    assert kind.test_a < kind.no_fire_a < kind.all_fire_a[0]


@pytest.mark.parametrize(("no_fire_a", "share"), [(0.0, 0.1), (0.3, 0.0), (float("nan"), 0.1)])
def test_a_check_of_nothing_is_refused(no_fire_a: float, share: float) -> None:
    with pytest.raises(OutsideRange):
        continuity_limit(no_fire_a, share)


def test_a_tenth_of_the_current_is_stricter_than_a_tenth_of_the_energy() -> None:
    # Energy goes with the square of the current at the same resistance and time.
    assert (continuity_limit(0.3, 0.1) / 0.3) ** 2 <= 0.1


def test_colder_never_gives_more() -> None:
    shares = [cold_share(exact(273.15 + celsius)).value for celsius in range(-30, 50)]
    assert shares == sorted(shares)


@pytest.mark.parametrize(("celsius", "known"), [(-25.0, False), (-18.0, True), (20.0, True), (65.0, False)])
def test_outside_the_table_is_flagged(celsius: float, known: bool) -> None:
    assert cold_share(exact(273.15 + celsius)).inside_range is known


def test_below_the_table_nothing_may_be_left() -> None:
    assert cold_share(exact(240.0)).low == 0.0


def test_pad_hours_at_the_bad_end_are_cold_old_and_hungry() -> None:
    hours = pad_hours(exact(0.5), spread(0.025, 0.2, known_by=KnownBy.HANDBOOK), exact(273.15))
    assert hours.low == pytest.approx(0.8 * 0.7 * 0.5 / 0.030)
    assert hours.high == pytest.approx(1.0 * 0.9 * 0.5 / 0.020)


@pytest.mark.parametrize("current", [0.0, -0.01])
def test_a_computer_without_current_is_refused(current: float) -> None:
    with pytest.raises(OutsideRange, match="current_a"):
        pad_hours(exact(0.5), exact(current), exact(290.0))


def test_the_colder_the_harder_to_draw_from() -> None:
    for end in ("low", "value", "high"):
        times = [getattr(cold_resistance(exact(273.15 + celsius)), end) for celsius in range(-35, 60, 5)]
        assert times == sorted(times, reverse=True)
        assert getattr(cold_resistance(exact(300.15)), end) == pytest.approx(1.0)


def test_resistance_in_the_cold_stands_between_the_sources() -> None:
    """Electrolyte 2.3 and electrodes 50 times at -20 degC, lithium cells of 1999 (abstract seen)."""
    cold = cold_resistance(exact(253.15))
    assert (cold.low, cold.high) == pytest.approx((2.3, 50.0))
    assert cold.inside_range
    assert not cold_resistance(exact(252.0)).inside_range
    assert cold_resistance(exact(243.15)).value > cold.value


def test_a_day_that_may_be_cold_is_judged_at_its_cold_end() -> None:
    day = Estimate(value=283.15, low=273.15, high=293.15, known_by=KnownBy.MEASURED)
    assert cold_resistance(day).high == pytest.approx(cold_resistance(exact(273.15)).high)
    assert cold_resistance(day).low == pytest.approx(cold_resistance(exact(293.15)).low)


def test_voltage_left_is_what_the_igniter_and_its_wires_see() -> None:
    left = voltage_left(circuit())
    assert left.value == pytest.approx(firing_current(circuit()).value * (0.3 + 1.5))
    both = voltage_left(circuit(), (circuit(),))
    assert both.value == pytest.approx(7.4 * 0.9 / (0.12 + 0.9))


# AWG by ASTM B258 and copper of IEC 60028, from memory: 24 AWG 0.5106 mm, 84.2 mohm a metre.
@pytest.mark.parametrize(
    ("gauge", "mm", "ohm_m"), [(24, 0.5106, 0.0842), (20, 0.8118, 0.0333), (30, 0.2546, 0.3386)]
)
def test_wires_are_those_of_the_gauge_table(gauge: int, mm: float, ohm_m: float) -> None:
    assert gauge_diameter(gauge) * 1e3 == pytest.approx(mm, rel=1e-3)
    pair = wire_resistance(gauge, 1.5, 0, exact(293.15))
    assert pair.value == pytest.approx(2 * 1.5 * ohm_m, rel=2e-3)


def test_connectors_and_warmth_add() -> None:
    plain, joined = (wire_resistance(24, 1.0, count, exact(293.15)) for count in (0, 4))
    assert joined.value - plain.value == pytest.approx(4 * 0.01)
    assert joined.high - plain.high == pytest.approx(4 * 0.05)
    warm = wire_resistance(24, 1.0, 0, exact(313.15))
    assert warm.value / plain.value == pytest.approx(1 + 20 * 0.00393)


@pytest.mark.parametrize("gauge", [-1, 41])
def test_a_gauge_no_wire_has_is_refused(gauge: int) -> None:
    with pytest.raises(OutsideRange, match="0 to 40"):
        wire_resistance(gauge, 1.0, 0, exact(293.15))


def test_wires_without_length_and_with_less_than_no_connectors_are_refused() -> None:
    with pytest.raises(OutsideRange, match="length_m"):
        wire_resistance(24, 0.0, 0, exact(293.15))
    with pytest.raises(OutsideRange, match="connectors"):
        wire_resistance(24, 1.0, -1, exact(293.15))


def test_a_battery_inside_sees_the_sun_of_a_whole_round() -> None:
    """Sun from the side on a cylinder: the mean over the round, by counting, is the share taken."""
    round_rad = np.linspace(0.0, 2 * np.pi, 100_001)[:-1]
    share = np.maximum(np.cos(round_rad), 0.0).mean()
    warm = cell_temperature(exact(300.0), exact(340.0))
    assert warm.value == pytest.approx(300.0 + 40.0 * share, abs=1e-3)
    assert (warm.low, warm.high) == (300.0, 320.0)


def test_a_wall_in_the_shade_cools_no_battery() -> None:
    warm = cell_temperature(exact(300.0), exact(290.0))
    assert (warm.low, warm.high) == (300.0, 300.0)


def test_a_current_is_known_no_better_than_the_others_that_share_its_battery() -> None:
    wiring = one_of_everything()
    guessed = replace(
        wiring.igniters[0],
        name="second",
        resistance_ohm=spread(1.5, 0.2, known_by=KnownBy.ASSUMED),
    )
    shared = replace(wiring, igniters=(*wiring.igniters, guessed))
    path = next(one for one in firing_paths(shared) if one.igniter == "igniter")
    assert path_current(wiring, firing_paths(wiring)[0]).known_by is KnownBy.COMPUTED
    found = path_current(shared, path)
    assert found.known_by is KnownBy.ASSUMED
    assert found.low < found.value
