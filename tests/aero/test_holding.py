"""At what angle a vehicle holds that does not fly straight."""

from collections.abc import Callable

import numpy as np
import pytest

from finial.aero.body import BodyAir
from finial.aero.fins.on_body import fin_air
from finial.aero.table.build import TableInputs, air_table
from finial.aero.table.holding import holding_angle
from finial.aero.table.record import AirTable
from finial.core.errors import OutsideRange
from finial.shape.fin_set import FinSet


@pytest.fixture(scope="module")
def bare(cone_cylinder: BodyAir) -> AirTable:
    return air_table(cone_cylinder, (), TableInputs(damping_centre_m=0.5))


def test_with_fins_it_flies_straight(cone_cylinder: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    table = air_table(cone_cylinder, fin_air(cone_cylinder, [four_fins()]), TableInputs(damping_centre_m=0.5))
    assert holding_angle(table, 0.5) == 0.0


def test_without_fins_it_holds_where_crossflow_has_moved_the_centre_back(bare: AirTable) -> None:
    balance = 0.45
    angle = holding_angle(bare, balance)
    assert 0.0 < angle < np.pi
    # There, by hand, the centre of pressure is the balance point.
    centre = bare.width_m * bare.along_moment[:, 0, 0] / bare.along[:, 0, 0]
    assert np.interp(angle, bare.alpha_rad, centre) == pytest.approx(balance, abs=0.01)
    assert holding_angle(bare, balance + 0.05) > angle


def test_balanced_at_its_base_it_flies_base_first(bare: AirTable) -> None:
    assert holding_angle(bare, 0.999) > np.radians(150.0)


def test_a_balance_point_that_is_no_number_is_refused(bare: AirTable) -> None:
    with pytest.raises(OutsideRange, match="finite"):
        holding_angle(bare, float("nan"))
