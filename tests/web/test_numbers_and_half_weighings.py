"""Which columns of the path's table are numbers, and a scale of which half was typed."""

import pytest

from finial.core.errors import MissingData
from finial.findings.readiness import Readiness
from finial.report.phone_page import fields
from finial.web.moving.path import flight_path
from finial.web.phone_app import reading_of


def test_every_column_but_the_event_is_a_number(readiness: Readiness) -> None:
    table = flight_path(readiness).table
    assert table.numbers == tuple(range(1, len(table.columns)))


@pytest.mark.parametrize("half", ["fore_at", "fore_reads", "aft_at", "aft_reads"])
def test_half_of_one_scale_beside_a_mass_is_refused_and_not_passed_over(half: str) -> None:
    asked = fields(us_units=False, wind_known_to="1 m/s")
    told = {"motor": "out", "mass": "9", "balance": "700"}
    assert reading_of(told, asked)
    with pytest.raises(MissingData):
        reading_of({**told, half: "3"}, asked)
