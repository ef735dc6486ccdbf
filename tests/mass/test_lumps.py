"""Cutting a body's lumps: nothing is lost, and an even bar stays one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from finial.core.errors import OutsideRange
from finial.mass.lumps import Lumps, even_bar, joined, leaning_bar, lumps, share_ahead, split


@given(st.floats(-0.2, 1.6), st.integers(1, 9))
def test_nothing_is_lost_in_a_cut(station_m: float, count: int) -> None:
    body = joined(
        [leaning_bar(2.0, 0.1, 1.3, 0.8, count=count), lumps([0.4], [1.5]), even_bar(0.7, 0.0, 0.6)]
    )
    sides = [side for side in split(body, station_m) if side is not None]
    assert sum(side.mass_kg for side in sides) == pytest.approx(body.mass_kg)
    moment = sum(side.mass_kg * side.centre_m[0] for side in sides)
    assert moment == pytest.approx(body.mass_kg * body.centre_m[0])
    ahead = split(body, station_m)[0]
    assert share_ahead(body, station_m) == pytest.approx((ahead.mass_kg if ahead else 0.0) / body.mass_kg)


@pytest.mark.parametrize("station_m", [0.05, 0.31, 0.5, 0.999])
def test_an_even_bar_cut_anywhere_leaves_two_even_bars(station_m: float) -> None:
    """Thin rod, m L^2 / 12: any mechanics text, such as Meriam and Kraige, table D/4."""
    fore, aft = split(even_bar(3.0, 0.0, 1.0, count=7), station_m)
    for side, length, middle in (
        (fore, station_m, station_m / 2),
        (aft, 1 - station_m, (1 + station_m) / 2),
    ):
        assert side is not None
        assert side.mass_kg == pytest.approx(3.0 * length)
        assert side.centre_m[0] == pytest.approx(middle)
        assert side.inertia_kg_m2 == pytest.approx(3.0 * length * length**2 / 12)


def test_a_point_lies_on_one_side() -> None:
    point = lumps([0.5], [2.0])
    assert split(point, 0.5)[0] is None
    assert split(point, 0.5000001)[1] is None
    assert (share_ahead(point, 0.5), share_ahead(point, 0.6)) == (0.0, 1.0)


def test_a_cell_below_nothing_is_refused() -> None:
    arrays = {name: np.ones(1) for name in ("stations_m", "masses_kg", "rotary_kg_m2", "offsets_m")}
    with pytest.raises(OutsideRange, match="cells of zero or more"):
        Lumps(**arrays, cells_m=np.array([-0.1]))


@pytest.mark.parametrize("balance_m", [0.45, 0.5, 0.62, 0.8])
def test_a_leaning_bar_has_the_inertia_of_a_trapezoid(balance_m: float) -> None:
    """Density that falls or rises evenly over an end-to-end bar of 1 m, or tapers out: summed finely."""
    found = leaning_bar(3.0, 0.0, 1.0, balance_m, count=5)
    own = float((found.rotary_kg_m2 + found.masses_kg * (found.stations_m - balance_m) ** 2).sum())
    fore, aft = max(0.0, 1.0 - 3.0 * (1.0 - balance_m)), min(1.0, 3.0 * balance_m)
    cells = fore + (aft - fore) * (np.arange(200_000) + 0.5) / 200_000
    lean = 6.0 * ((balance_m - fore) / (aft - fore) - 0.5)
    density = 1.0 + lean * (2.0 * (cells - fore) / (aft - fore) - 1.0)
    weights = 3.0 * density / density.sum()
    assert own == pytest.approx(float(weights @ (cells - balance_m) ** 2), rel=1e-6)


@pytest.mark.parametrize(
    ("balance_m", "fore_m", "aft_m"), [(0.2, 0.0, 0.6), (0.8, 0.4, 1.0), (0.4, 0.0, 1.0)]
)
def test_a_bar_heavy_at_one_end_is_three_times_as_long_as_its_balance_lies_from_it(
    balance_m: float, fore_m: float, aft_m: float
) -> None:
    found = leaning_bar(2.0, 0.0, 1.0, balance_m)
    assert (found.mass_kg, found.centre_m[0]) == pytest.approx((2.0, balance_m))
    half = found.cells_m[0] / 2
    assert found.stations_m.min() - half == pytest.approx(fore_m, abs=0.01)
    assert found.stations_m.max() + half == pytest.approx(aft_m, abs=0.01)
