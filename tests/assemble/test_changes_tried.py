"""What the page tries: ballast and fin span change the sheet and nothing else."""

import numpy as np
import pytest

from finial.assemble.day import air_of_day, density_at, wind_at_ten_metres
from finial.assemble.looks.answer import Changes, answer, changed


def test_ballast_moves_mass_and_balance_as_a_point_mass_does(lighthouse, answered) -> None:
    tried = answer(changed(lighthouse, Changes(ballast_kg={"steel ballast": 2.4})))
    before, after = answered.mass.lift_off, tried.mass.lift_off
    assert after.mass_kg == pytest.approx(before.mass_kg + 0.5)
    by_hand = (before.mass_kg * before.station_m + 0.5 * 0.104) / (before.mass_kg + 0.5)
    assert after.station_m == pytest.approx(by_hand)


def test_ballast_of_nothing_takes_the_item_out(lighthouse) -> None:
    without = changed(lighthouse, Changes(ballast_kg={"steel ballast": 0.0}))
    assert "steel ballast" not in [item.name for item in without.sheet.item]
    assert len(without.sheet.item) == len(lighthouse.sheet.item) - 1


def test_fin_span_scales_outward_and_not_along(lighthouse) -> None:
    longer = changed(lighthouse, Changes(fin_span_scale=1.2)).sheet.fin[0]
    before = lighthouse.sheet.fin[0]
    assert [a.value for a, _ in longer.outline] == [a.value for a, _ in before.outline]
    assert [o.value for _, o in longer.outline] == pytest.approx([1.2 * o.value for _, o in before.outline])


def test_larger_fins_move_the_pressure_aft(lighthouse, answered) -> None:
    longer = answer(changed(lighthouse, Changes(fin_span_scale=1.2)))
    assert longer.air.pressure_central_m.min() > answered.air.pressure_central_m.min()


def test_no_change_is_no_change(lighthouse, answered) -> None:
    again = answer(changed(lighthouse, Changes()))
    assert again.mass.lift_off.mass_kg == answered.mass.lift_off.mass_kg
    assert again.flight.apogee_agl == answered.flight.apogee_agl


def test_the_wind_blows_from_its_bearing(lighthouse) -> None:
    # From 250 degrees blows towards 070: east by sin 70, north by cos 70.
    air = air_of_day(lighthouse, 3.0)
    east, north = air.wind_east_m_s[-1], air.wind_north_m_s[-1]
    assert np.degrees(np.arctan2(east, north)) == pytest.approx(70.0)


def test_the_wind_is_never_below_calm(lighthouse) -> None:
    wind = wind_at_ten_metres(lighthouse)
    assert (wind.low, wind.value, wind.high) == pytest.approx((2.0, 3.0, 4.0))


def test_air_at_the_pad_is_an_ideal_gas(lighthouse) -> None:
    # 985 hPa and 22 degC with R = 287.053 J/(kg K), U.S. Standard Atmosphere 1976.
    by_hand = 98_500.0 / (287.053 * 295.15)
    found = density_at(lighthouse, 0.0)
    assert found.value == pytest.approx(by_hand, rel=1e-4)
    # 5 degC of 295 K widen it by 1.7 % either way.
    assert found.half_width / found.value == pytest.approx(5.0 / 295.15, rel=1e-3)
