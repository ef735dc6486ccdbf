"""The table a flight looks up: shape, symmetry, limits."""

from collections.abc import Callable

import numpy as np
import pytest

from finial.aero.band.band import pressure_band
from finial.aero.body import BodyAir, body_air
from finial.aero.fins.on_body import fin_air
from finial.aero.sections.outlines import regular_polygon, tapered_skin
from finial.aero.table.build import ANGLES_RAD, MACHS, TableInputs, air_table
from finial.aero.table.record import AirTable
from finial.shape.fin_set import FinSet

INPUTS = TableInputs(damping_centre_m=0.6)


def table(body: BodyAir, *fins: FinSet) -> AirTable:
    return air_table(body, fin_air(body, fins), INPUTS)


def test_shapes_and_grids(square_tower: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    made = table(square_tower, four_fins())
    shape = (len(made.alpha_rad), len(made.roll_rad), len(made.mach))
    for name in ("along", "across", "along_moment", "across_moment", "roll_moment"):
        values = getattr(made, name)
        assert values.shape == shape
        assert np.isfinite(values).all()
        assert values[:, 0] == pytest.approx(values[:, -1], abs=1e-12)
    assert made.axial_power_on.shape == shape
    assert made.pitch_damping.shape == made.roll_damping.shape == made.mach.shape
    for grid in (made.alpha_rad, made.roll_rad, made.mach):
        assert np.all(np.diff(grid) > 0)
    assert made.alpha_rad[-1] == pytest.approx(np.pi)


def test_table_and_band_tell_the_same_story(lighthouse: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    fins = fin_air(lighthouse, [four_fins(1.0, 0.075)])
    made = air_table(lighthouse, fins, INPUTS)
    angles = made.alpha_rad[made.alpha_rad <= np.radians(30)]
    band = pressure_band(lighthouse, fins, angles, made.roll_rad[:-1])
    centre = made.width_m * made.along_moment / made.along
    assert centre[: len(angles), :-1, 0] == pytest.approx(band.central_m, abs=1e-9)
    assert made.along[0, :, 0].min() == pytest.approx(band.slope.value, rel=1e-9)


def test_broadside_centre_is_the_centre_of_the_drag_area(cone_cylinder: BodyAir) -> None:
    made = table(cone_cylinder)
    index = int(np.argmin(np.abs(made.alpha_rad - np.pi / 2)))
    centre = made.width_m * made.along_moment[index, 0, 0] / made.along[index, 0, 0]
    # Planform centroid: triangle 0.015 m^2 at 0.2 m, rectangle 0.07 m^2 at 0.65 m.
    assert centre == pytest.approx((0.015 * 0.2 + 0.07 * 0.65) / 0.085, rel=2e-3)


def test_a_square_body_repeats_every_quarter_turn(
    square_tower: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    made = table(square_tower, four_fins())
    assert made.along[:, :6] == pytest.approx(made.along[:, 6:12], rel=1e-3)
    assert made.across[:, :6] == pytest.approx(made.across[:, 6:12], abs=1e-3 * made.along.max())
    # Face-on and corner-on nothing pushes aside; between them the face turned to the wind does.
    for index in (0, 3, 6):
        assert np.abs(made.across[:, index]).max() < 1e-3 * made.along.max()
    assert np.all(made.across[1:8, 4] * made.across[1:8, 5] > 0.0)
    assert np.all(made.across[1:8, 2] * made.across[1:8, 4] < 0.0)
    assert np.abs(made.across[:8]).max() < 0.15 * made.along.max()


def test_smooth_bodies_lose_crossflow_drag_as_they_fly_faster(
    cone_cylinder: BodyAir, square_tower: BodyAir
) -> None:
    # A smooth circle keeps a third to a half of its drag beyond a Reynolds number of 1e6 across
    # it (NASA TN D-6996, 1973); sharp corners keep all.
    for body, kept in ((cone_cylinder, (0.2, 0.5)), (square_tower, (0.99, 1.01))):
        broadside = table(body).along[int(np.argmin(np.abs(ANGLES_RAD - np.pi / 2))), 0]
        share = broadside[int(np.searchsorted(MACHS, 0.3))] / broadside[0]
        assert kept[0] < share < kept[1]


def test_an_oblong_body_is_pushed_aside_between_its_axes() -> None:
    slab = body_air(
        tapered_skin(
            lambda d: regular_polygon(4, d, np.pi / 4) * [1.0, 3.0], [(0.0, 0.02), (0.2, 0.1), (1.0, 0.1)]
        )
    )
    made = table(slab)
    at = {angle: int(np.argmin(np.abs(np.degrees(made.roll_rad) - angle))) for angle in (0, 45, 90, 135)}
    # Broad faces look along y, so wind along y lifts most; at 45 degrees the force leans to y.
    assert made.along[0, at[0], 0] > 3 * made.along[0, at[90], 0]
    assert made.across[0, at[45], 0] < 0 < made.across[0, at[135], 0]
    assert made.across[0, at[0], 0] == pytest.approx(0.0, abs=1e-6)


def test_axial_force_points_back_and_turns_round(cone_cylinder: BodyAir) -> None:
    made = table(cone_cylinder)
    assert np.all(made.axial_power_off[0] > 0.1)
    assert np.all(made.axial_power_off[-1] < -0.5)
    assert np.all(made.axial_power_on <= made.axial_power_off + 1e-12)


def test_damping_opposes_turning(lighthouse: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    made = table(lighthouse, four_fins(1.0, 0.075))
    assert np.all(made.pitch_damping < 0)
    assert np.all(made.roll_damping < 0)
    assert made.damping_centre_m == 0.6


def test_only_canted_fins_turn_the_vehicle(cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    assert not table(cone_cylinder, four_fins()).roll_moment.any()
    canted = table(cone_cylinder, four_fins(cant_rad=0.02)).roll_moment
    assert np.all(canted[0] > 0)


def test_sideways_force_of_two_fins_acts_where_they_stand(
    cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]
) -> None:
    fins = fin_air(cone_cylinder, [four_fins(count=2, first_at_rad=np.pi / 4)])
    made = air_table(cone_cylinder, fins, INPUTS)
    # Wind along y meets fins that stand at 45 degrees: the force leans towards -z.
    assert made.across[0, 0, 0] == pytest.approx(-fins[0].felt_slope_per_rad.trace() / 2, rel=0.02)
    assert made.width_m * made.across_moment[0, 0, 0] / made.across[0, 0, 0] == pytest.approx(
        fins[0].centre_m, abs=1e-4
    )
