"""Lines seen from the side: of boxes whose drawing is known by hand."""

import numpy as np
import pytest

from finial.shape.side_lines import side_lines

SIDES = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
FACES = np.array([one for a, b, c, d in SIDES for one in ((a, b, c), (a, c, d))])


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> np.ndarray:
    return np.array(
        [[x, y, z] for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])]
    )


def turned(corners: np.ndarray, degrees: float) -> np.ndarray:
    """Turn corners round the upright axis."""
    cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return corners @ np.array([[cos, sin, 0.0], [-sin, cos, 0.0], [0.0, 0.0, 1.0]])


def length(lines: np.ndarray) -> float:
    return float(np.linalg.norm(lines[:, 1] - lines[:, 0], axis=1).sum())


def test_a_box_is_its_rectangle() -> None:
    lines = side_lines(box((0, 0, 0), (2, 1, 3)), FACES)
    assert length(lines) == pytest.approx(2 * (2 + 3))
    assert lines.reshape(-1, 2).min(axis=0).tolist() == [0.0, 0.0]
    assert lines.reshape(-1, 2).max(axis=0).tolist() == [2.0, 3.0]


def test_a_box_seen_on_edge_shows_the_edge_that_is_near_and_not_the_one_behind() -> None:
    """A square post turned by 45 degrees: three upright lines, two flat edges at top and foot each."""
    lines = side_lines(turned(box((-1, -1, 0), (1, 1, 3)), 45.0), FACES)
    upright = lines[np.abs(lines[:, 1, 0] - lines[:, 0, 0]) < 1e-9]
    assert sorted(np.round(upright[:, 0, 0], 9)) == pytest.approx([-np.sqrt(2), 0.0, np.sqrt(2)])
    assert length(lines) == pytest.approx(3 * 3 + 4 * np.sqrt(2))


@pytest.mark.parametrize(("behind_m", "shown"), [(5.0, 10.0), (-5.0, 16.0)])
def test_a_small_box_is_hidden_behind_a_large_one_and_seen_before_it(behind_m: float, shown: float) -> None:
    large, small = box((0, 0, 0), (2, 1, 3)), box((0.5, behind_m, 0.5), (1.5, behind_m + 1, 2.5))
    lines = side_lines(np.vstack([large, small]), np.vstack([FACES, FACES + 8]))
    assert length(lines) == pytest.approx(shown)


@pytest.mark.parametrize(("apex_y_m", "uprights"), [(-1.0, 3), (1.0, 2)])
def test_the_ridge_of_a_wedge_is_seen_when_it_points_at_the_eye(apex_y_m: float, uprights: int) -> None:
    """The eye is on the side of negative y."""
    foot = [(-1.0, 0.0), (1.0, 0.0), (0.0, apex_y_m)]
    corners = np.array([(*at, z) for z in (0.0, 2.0) for at in foot])
    faces = np.array([(0, 2, 1), (3, 4, 5), (0, 1, 4), (0, 4, 3), (1, 2, 5), (1, 5, 4), (2, 0, 3), (2, 3, 5)])
    lines = side_lines(corners, faces if apex_y_m > 0 else faces[:, ::-1])
    assert int((np.abs(lines[:, 1, 0] - lines[:, 0, 0]) < 1e-9).sum()) == uprights
