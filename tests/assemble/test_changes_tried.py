"""What the page tries: ballast and fin span change the sheet and nothing else."""

import numpy as np
import pytest

from finial.assemble.day import air_of_day, density_at, wind_at_ten_metres
from finial.assemble.looks.answer import answer
from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.levers import ballast, span
from finial.core.errors import BuildSheetError


def test_ballast_moves_mass_and_balance_as_a_stack_on_its_aft_end_does(lighthouse, answered) -> None:
    tried = answer(changed(lighthouse, ballast(lighthouse.sheet, "steel ballast", 2.4)))
    before, after = answered.mass.lift_off, tried.mass.lift_off
    assert after.mass_kg == pytest.approx(before.mass_kg + 0.49)
    # The aft end stays: 0.49 kg of steel on 83 mm are 11.5 mm more, and the middle goes half of that ahead.
    moment = before.mass_kg * before.station_m - 1.91 * 0.104 + 2.4 * (0.104 - 0.01154 / 2)
    assert after.station_m == pytest.approx(moment / (before.mass_kg + 0.49), abs=2e-5)


def test_ballast_of_nothing_weighs_nothing(lighthouse, answered) -> None:
    without = answer(changed(lighthouse, ballast(lighthouse.sheet, "steel ballast", 0.0)))
    assert "steel ballast" not in [row.name for row in without.mass.rows]
    assert len(without.mass.rows) == len(answered.mass.rows) - 1


def test_a_value_that_the_place_does_not_take_is_refused_with_file_and_line(lighthouse) -> None:
    with pytest.raises(BuildSheetError, match=r"skerry-light\.toml:\d+: launch\.wind"):
        changed(lighthouse, {("launch", "wind"): "three apples"})
    with pytest.raises(BuildSheetError, match=r"item\[\d\]\.mass"):
        changed(lighthouse, {("item", 0, "mass"): "12 mm"})


def test_a_part_that_did_not_change_is_the_very_part(lighthouse) -> None:
    calmer = changed(lighthouse, {("launch", "wind"): "1 m/s"})
    assert calmer.sheet.launch.wind.value == 1.0
    assert all(new is old for new, old in zip(calmer.parts, lighthouse.parts, strict=True))
    thicker = changed(lighthouse, {("part", 0, "weighed"): "900 g"})
    assert thicker.parts[0].spec.weighed.value == pytest.approx(0.9)
    assert thicker.parts[1] is lighthouse.parts[1]


def test_fin_span_scales_outward_and_not_along(lighthouse) -> None:
    longer = changed(lighthouse, span(lighthouse.sheet, lighthouse.sheet.fin[0].name, 1.2)).sheet.fin[0]
    before = lighthouse.sheet.fin[0]
    assert [a.value for a, _ in longer.outline] == [a.value for a, _ in before.outline]
    assert [o.value for _, o in longer.outline] == pytest.approx([1.2 * o.value for _, o in before.outline])


def test_larger_fins_move_the_pressure_aft(lighthouse, answered) -> None:
    longer = answer(changed(lighthouse, span(lighthouse.sheet, lighthouse.sheet.fin[0].name, 1.2)))
    assert longer.air.pressure_central_m.min() > answered.air.pressure_central_m.min()


def test_no_change_is_no_change(lighthouse, answered) -> None:
    again = answer(changed(lighthouse, {}))
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
