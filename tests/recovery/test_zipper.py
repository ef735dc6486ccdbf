"""What a lip bears: which way each cause pulls, and what a pull test changes."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact
from finial.recovery.cords.zipper import Lip, lip_holds, lip_holds_at, pull_tested

SQUARE = math.pi / 2
PRINTED = Lip(
    wall_m=0.0016,
    cord_width_m=0.014,
    edge_radius_m=0.0002,
    strength_pa=Estimate(value=50e6, low=44e6, high=56e6, known_by=KnownBy.HANDBOOK),
    between_layers_pa=Estimate(value=31e6, low=25e6, high=38e6, known_by=KnownBy.HANDBOOK),
)


@pytest.mark.parametrize(
    ("change", "stronger"),
    [
        ({"wall_m": 0.003}, True),
        ({"cord_width_m": 0.025}, True),
        ({"layers_across_tube": True}, False),
        ({"strength_pa": exact(300e6)}, True),
    ],
)
def test_walls_webbing_and_layers_pull_the_way_a_builder_expects(change: dict, stronger: bool) -> None:
    before, after = lip_holds(PRINTED, SQUARE).value, lip_holds(replace(PRINTED, **change), SQUARE).value
    assert (after > before) is stronger


def test_a_rounded_edge_helps_where_the_cord_bites() -> None:
    """Bent right back, nothing tears sideways: the bite counts, and the edge's radius with it."""
    sharp = replace(PRINTED, wall_m=0.004)
    round_ = replace(sharp, edge_radius_m=0.005)
    assert lip_holds(round_, 3.0).value > lip_holds(sharp, 3.0).value


def test_the_interval_is_wide_and_says_that_it_is_assumed() -> None:
    holds = lip_holds(PRINTED, SQUARE)
    assert holds.known_by is KnownBy.ASSUMED
    assert holds.high > 3 * holds.low
    assert "no published limit" in holds.method


def test_arrays_say_the_same_as_single_bends() -> None:
    bends = np.linspace(0.1, 3.1, 7)
    singly = [lip_holds(PRINTED, float(bend)).low for bend in bends]
    assert lip_holds_at(PRINTED, bends, "low") == pytest.approx(singly)


def test_a_pull_test_replaces_the_strength_and_narrows_it() -> None:
    tested = pull_tested(PRINTED, exact(400.0, known_by=KnownBy.MEASURED), SQUARE)
    holds = lip_holds(tested, SQUARE)
    assert holds.value == pytest.approx(400.0)
    assert (holds.low, holds.high) == pytest.approx((340.0, 460.0))
    assert holds.known_by is KnownBy.MEASURED
    doubled = pull_tested(PRINTED, exact(800.0), SQUARE)
    assert lip_holds(doubled, 2.5).value == pytest.approx(2 * lip_holds(tested, 2.5).value)


@pytest.mark.parametrize("bend", [-0.1, 3.2, float("nan")])
def test_bends_no_cord_can_make_are_refused(bend: float) -> None:
    with pytest.raises(OutsideRange, match="bend_rad"):
        lip_holds(PRINTED, bend)


@pytest.mark.parametrize("field", ["wall_m", "cord_width_m", "edge_radius_m"])
def test_lips_without_size_are_refused(field: str) -> None:
    with pytest.raises(OutsideRange, match=field):
        lip_holds(replace(PRINTED, **{field: 0.0}), SQUARE)
