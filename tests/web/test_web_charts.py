"""The page's two curves, in the builder's unit, against the answer that they are drawn from."""

import numpy as np
import pytest

from finial.findings.readiness import Readiness
from finial.web.charts import height_chart, margin_chart
from finial.web.numbers import worst_point

FOOT_M, INCH_M = 0.3048, 0.0254
"""Exact by the international yard and pound agreement of 1959."""


@pytest.mark.parametrize(
    ("shown", "unit", "unit_m"), [("readiness", "m", 1.0), ("us_readiness", "ft", FOOT_M)]
)
def test_the_height_curve_begins_and_ends_with_the_flight_and_holds_its_top(
    request, shown, unit, unit_m
) -> None:
    answer: Readiness = request.getfixturevalue(shown)
    chart, trace = height_chart(answer), answer.flight.trace
    heights_m = trace.positions_m[:, 2]
    assert chart.unit == unit
    assert len(chart.times_s) == len(chart.heights) == min(len(heights_m), 400)
    ends = trace.times_s[[0, -1]], heights_m[[0, -1]] / unit_m
    assert [chart.times_s[0], chart.times_s[-1]] == pytest.approx(ends[0], abs=1e-3)
    assert [chart.heights[0], chart.heights[-1]] == pytest.approx(ends[1], abs=0.01)
    for event, dot in zip(trace.events, chart.events, strict=True):
        assert (dot.name, dot.time_s) == (event.name, pytest.approx(event.time_s, abs=1e-3))
        assert dot.height == pytest.approx(event.height_agl_m / unit_m, abs=0.01)


@pytest.mark.parametrize(
    ("shown", "unit", "unit_m"), [("readiness", "mm", 1e-3), ("us_readiness", "in", INCH_M)]
)
def test_the_margin_curve_stands_at_the_bad_end_of_pressure_and_of_balance(
    request, shown, unit, unit_m
) -> None:
    answer: Readiness = request.getfixturevalue(shown)
    chart, air, balance = margin_chart(answer), answer.air, worst_point(answer).balance
    assert chart.unit == unit
    assert chart.angles_deg == pytest.approx(np.degrees(air.angles_rad), abs=0.01)
    assert chart.low == pytest.approx((air.pressure_forward_m.min(axis=1) - balance.high) / unit_m, abs=0.01)
    assert chart.high == pytest.approx((air.pressure_aft_m.max(axis=1) - balance.low) / unit_m, abs=0.01)
    assert chart.bare_low == pytest.approx((air.bare_forward_m.min(axis=1) - balance.high) / unit_m, abs=0.01)
    assert all(
        low <= middle <= high for low, middle, high in zip(chart.low, chart.middle, chart.high, strict=True)
    )
