"""What is told below the picture of the drift stays on its page, however far it is."""

import re
from typing import cast

from report import scenes_by_hand as scenes

from finial.assemble.flights.results import FlightResult
from finial.findings.range_result import RangeResult
from finial.report.pictures.drift import drift_plan


class Wide:
    """Rules of a field that is many kilometres across."""

    minimum_distance_m, field_radius_m = 9000.0, 24000.0


def test_every_row_ends_before_the_edge() -> None:
    flight = cast(FlightResult, scenes.drift_flight())
    svg = drift_plan(flight, cast(RangeResult, Wide()), us_units=True)
    found = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    assert found is not None
    wide, high = (float(one) for one in found.groups())
    rows = re.findall(r'<text x="4" y="([\d.]+)"[^>]*>([^<]*)<', svg)
    assert len(rows) == 4
    # Letters of 2.9 mm are 1.4 mm wide in the mean in the widest of the fonts.
    assert all(4.0 + 1.4 * len(text) < wide for _, text in rows)
    assert all(float(y) < high - 2.0 for y, _ in rows)
