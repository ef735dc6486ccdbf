"""Loads from elsewhere in the place of the sections' own."""

from collections.abc import Callable

import numpy as np
import pytest

from finial.aero.band.band import FLOOR_WIDTHS, band_with, pressure_band
from finial.aero.body import BodyAir
from finial.aero.fins.on_body import fin_air
from finial.aero.given import GivenAir, given_parts, over_sine, table_with
from finial.aero.table.build import TableInputs, air_table
from finial.aero.table.record import AirTable
from finial.core.errors import OutsideRange
from finial.shape.fin_set import FinSet

ANGLES = np.radians([0.0, 10.0, 20.0, 30.0])


def given_from(table: AirTable, error: float = 0.0) -> GivenAir:
    """What a tunnel would have read of a vehicle with this table, each load give or take a share."""
    rolls = table.roll_rad[:-1]
    at = [int(np.argmin(np.abs(table.alpha_rad - angle))) for angle in ANGLES]
    sine = np.sin(table.alpha_rad[at])[:, None, None]
    along = table.along[at][:, :-1]
    place = table.width_m * table.along_moment[at][:, :-1] / along
    axial = np.broadcast_to(table.axial_power_off, table.along.shape)[at][:, :-1]
    ends = np.array([1 - error, 1.0, 1 + error]).reshape(3, 1, 1, 1)
    return GivenAir(
        reference_area_m2=2 * table.reference_area_m2,
        angles_rad=table.alpha_rad[at],
        rolls_rad=rolls,
        machs=table.mach,
        force=ends * along * sine / 2,
        place_m=place + (ends - 1.0) * table.width_m,
        axial=ends * axial / 2,
    )


@pytest.fixture(scope="module")
def finned(cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]):
    fins = fin_air(cone_cylinder, [four_fins()])
    return cone_cylinder, fins, air_table(cone_cylinder, fins, TableInputs(damping_centre_m=0.6))


def test_a_table_read_back_is_the_table(finned) -> None:
    _, _, table = finned
    again = table_with(table, given_from(table))
    for angle in ANGLES[1:]:
        at = int(np.argmin(np.abs(table.alpha_rad - angle)))
        assert again.along[at] == pytest.approx(table.along[at], rel=1e-9)
        assert again.along_moment[at] == pytest.approx(table.along_moment[at], rel=1e-9)
        assert again.axial_power_on[at] == pytest.approx(
            np.broadcast_to(table.axial_power_on, again.along.shape)[at]
        )


def test_beyond_its_last_angle_the_sections_take_over(finned) -> None:
    _, _, table = finned
    given = given_from(table)
    doubled = GivenAir(
        reference_area_m2=2 * given.reference_area_m2,
        angles_rad=given.angles_rad,
        rolls_rad=given.rolls_rad,
        machs=given.machs,
        force=given.force,
        place_m=given.place_m,
    )
    mixed = table_with(table, doubled)
    at = {
        degrees: int(np.argmin(np.abs(table.alpha_rad - np.radians(degrees)))) for degrees in (20, 40, 50, 90)
    }
    assert mixed.along[at[20]] == pytest.approx(2 * table.along[at[20]], rel=1e-9)
    assert mixed.along[at[90]] == pytest.approx(table.along[at[90]])
    # Halfway through the change at 40 degrees: half of each.
    last = 2 * table.along[int(np.argmin(np.abs(table.alpha_rad - ANGLES[-1])))]
    assert mixed.along[at[40]] == pytest.approx((last + table.along[at[40]]) / 2, rel=1e-9)
    assert mixed.axial_power_off is table.axial_power_off


def test_the_band_is_as_wide_as_the_table_says(finned) -> None:
    body, fins, table = finned
    rolls = table.roll_rad[:-1]
    own = pressure_band(body, fins, ANGLES, rolls)
    exact, spread = (
        band_with(
            own, given_parts(given_from(table, error), ANGLES, rolls, body.reference_area_m2), 0.5, "tunnel"
        )
        for error in (0.0, 0.1)
    )
    floor = FLOOR_WIDTHS * body.width_m
    # Central guesses of table and band differ by the Reynolds number of smooth outlines only.
    assert exact.central_m[0] == pytest.approx(own.central_m[0], abs=2e-3)
    assert exact.forward_m == pytest.approx(exact.central_m - floor)
    assert spread.forward_m == pytest.approx(spread.central_m - 0.1 * body.width_m / 0.9 - floor, abs=2e-3)
    assert spread.slope.low == pytest.approx(0.9 * exact.slope.value)
    assert spread.bare_forward_m is own.bare_forward_m


def test_rolls_are_read_round_the_turn_and_force_over_sine_at_zero() -> None:
    rolls = np.radians([90.0, 270.0])
    force = (
        np.ones((3, 2, 2, 1))
        * np.array([1.0, 3.0]).reshape(1, 1, 2, 1)
        * np.sin(ANGLES[:2]).reshape(1, 2, 1, 1)
    )
    given = GivenAir(
        reference_area_m2=1.0, angles_rad=ANGLES[:2], rolls_rad=rolls, machs=np.array([0.3]),
        force=force, place_m=np.ones_like(force),
    )  # fmt: skip
    assert over_sine(given)[1, 0, :, 0] == pytest.approx([1.0, 3.0])
    part, _ = given_parts(given, ANGLES[:1], np.radians([0.0, 90.0, 180.0, 270.0, 315.0]), 1.0)
    assert part.force[0] == pytest.approx([2.0, 1.0, 2.0, 3.0, 2.5])


def test_what_is_no_grid_is_refused() -> None:
    one = np.ones((3, 1, 1, 1))
    usual = {"angles_rad": np.array([0.1]), "rolls_rad": np.zeros(1), "machs": np.zeros(1)}
    with pytest.raises(OutsideRange, match="grid"):
        GivenAir(reference_area_m2=1.0, force=one[:2], place_m=one, **usual)
    with pytest.raises(OutsideRange, match="reference area"):
        GivenAir(reference_area_m2=0.0, force=one, place_m=one, **usual)
