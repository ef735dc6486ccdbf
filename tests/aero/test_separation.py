"""What steps and overhangs leave of the growth of added mass."""

import numpy as np
import pytest

from finial.aero.separation import STREAMLINE_SLOPE, body_growth, envelope


def stack(stations: list[float], sizes: list[float]) -> tuple[np.ndarray, np.ndarray]:
    return np.array(stations), np.pi * np.array(sizes)[:, None, None] ** 2 * np.eye(2)


def test_a_smooth_nose_has_no_bubble() -> None:
    stations = np.linspace(0.0, 3.0, 40)
    growth = body_growth(*stack(stations.tolist(), np.sqrt(stations).tolist()))
    assert growth.bubbles == ()
    assert np.array_equal(growth.attached_m2, growth.separated_m2)


def test_a_boat_tail_gentler_than_the_streamline_stays_attached() -> None:
    gentle = body_growth(*stack([0.0, 10.0, 11.0], [1.0, 1.0, 1.0 - 0.9 * STREAMLINE_SLOPE]))
    steep = body_growth(*stack([0.0, 10.0, 11.0], [1.0, 1.0, 1.0 - 1.5 * STREAMLINE_SLOPE]))
    assert gentle.bubbles == ()
    assert len(steep.bubbles) == 1


def test_a_bubble_holds_exactly_what_separation_loses() -> None:
    growth = body_growth(*stack([0.0, 1.0, 1.0, 9.0, 9.0, 12.0], [1.0, 1.0, 0.4, 0.4, 0.9, 0.9]))
    lost = sum(bubble.growth_m2 for bubble in growth.bubbles)
    assert growth.separated_m2.sum(axis=0) + lost == pytest.approx(growth.attached_m2.sum(axis=0))
    moment = sum(bubble.moment_m3 for bubble in growth.bubbles)
    whole = np.einsum("n,nij->ij", growth.stations_m, growth.attached_m2 - growth.separated_m2)
    assert moment == pytest.approx(whole)


def test_behind_a_ledge_only_what_rises_above_the_streamline_counts() -> None:
    # Lip of 1 at station 1; a second tier of 1.2 stands 1.2 widths behind: the streamline
    # has fallen to 0.8 there, so the area between 0.8 and 1.2 counts.
    growth = body_growth(*stack([0.0, 1.0, 1.0, 2.2, 2.2, 5.0], [1.0, 1.0, 0.4, 0.4, 1.2, 1.2]))
    total = np.trace(growth.separated_m2.sum(axis=0)) / 2
    assert total == pytest.approx(np.pi * (1.0 + 1.2**2 - 0.8**2), rel=1e-6)


def test_sheltered_depth_ends_where_the_streamline_lands() -> None:
    stations = np.linspace(0.0, 10.0, 201)
    sizes = np.where(stations < 2.0, 1.0, 0.5)
    line = envelope(stations, sizes)
    landing = stations[np.flatnonzero(line > sizes + 1e-9)[-1]]
    assert landing == pytest.approx(2.0 + 0.5 / STREAMLINE_SLOPE, abs=0.1)
