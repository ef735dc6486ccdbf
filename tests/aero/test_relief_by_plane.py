"""Each plane of a flat body has its own three-dimensional flow: held to the exact ellipsoid."""

import numpy as np
import pytest

from finial.aero.band.band import pressure_band
from finial.aero.body import BodyAir, body_air
from finial.aero.crooked import trim_of
from finial.aero.sections.outlines import ellipse, tapered_skin
from finial.aero.steps.double_body import moment_relief
from finial.aero.steps.ellipsoid import ellipsoid_relief, relief_by_plane
from finial.aero.table.build import TableInputs, air_table
from finial.core.errors import OutsideRange

LENGTH = 2.0


def half_widths(ratio: float) -> tuple[float, float]:
    """Along y and along z: broad in y."""
    return 0.5 * ratio**0.5, 0.5 / ratio**0.5


def half_ellipsoid(ratio: float, turn_rad: float = 0.0) -> BodyAir:
    share = 1 - np.cos(np.linspace(0.0, np.pi / 2, 40))
    across = np.sqrt(1 - (1 - share) ** 2)
    first, second = half_widths(ratio)
    c, s = np.cos(turn_rad), np.sin(turn_rad)
    turn = np.array([[c, -s], [s, c]])
    profile = list(zip((LENGTH * share).tolist(), across.tolist(), strict=True))
    return body_air(tapered_skin(lambda d: ellipse(d * first, d * second) @ turn.T, profile, per_tier=1))


def exact_centres(ratio: float) -> np.ndarray:
    """Exact attached centre for motion along y and z: slender growth of pi b^2, and the relief."""
    first, second = half_widths(ratio)
    added = np.pi * np.array([second**2, first**2])
    # Growth of 1 - (1 - x)^2 acts at a third of the length.
    return LENGTH / 3 + np.array(ellipsoid_relief(LENGTH, (first, second))) / (2 * added)


@pytest.mark.parametrize("ratio", [1.0, 2.0, 3.0, 5.0])
def test_both_planes_of_half_an_ellipsoid_are_exact(ratio: float) -> None:
    body = half_ellipsoid(ratio)
    # Without what the base lets go, which potential flow does not know.
    relief = np.diag(body.relief_filled_m3) / body.growth.kept
    added = np.diag(body.tensors_m2[-1])
    growth = body.growth
    slender = np.einsum("n,nii->i", growth.stations_m, growth.attached_m2)
    centres = (slender + relief / 2) / added
    assert centres == pytest.approx(exact_centres(ratio), abs=0.01 * body.width_m)


def test_one_relief_for_both_planes_was_widths_too_far_aft() -> None:
    # What stood here before: edge-on 0.45 widths aft at 2:1, 1.6 at 3:1, 6.4 at 5:1.
    for ratio, off in ((2.0, 0.45), (3.0, 1.6), (5.0, 6.4)):
        body = half_ellipsoid(ratio)
        x = np.linspace(0.0, LENGTH, 200)
        mean = np.sqrt((ratio + 1 / ratio) / 2) * 0.5 * np.sqrt(1 - (1 - x / LENGTH) ** 2)
        shared = LENGTH / 3 + moment_relief(x, mean) / (2 * body.tensors_m2[-1, 0, 0])
        assert (shared - exact_centres(ratio)[0]) / body.width_m == pytest.approx(off, rel=0.35)


def test_the_band_at_both_rolls_holds_the_exact_centre() -> None:
    body = half_ellipsoid(3.0)
    band = pressure_band(body, (), [0.0], [0.0, np.pi / 2])
    exact = exact_centres(3.0)
    assert np.all(band.forward_m[0] < exact)
    assert np.all(exact < band.aft_m[0])
    assert np.ptp(band.central_m[0]) == pytest.approx(np.ptp(exact), rel=0.25)


def test_band_table_force_and_trim_take_the_same_planes() -> None:
    body = half_ellipsoid(3.0)
    band = pressure_band(body, (), [0.0], [0.0, np.pi / 2])
    table = air_table(body, (), TableInputs(damping_centre_m=1.0))
    by_table = table.width_m * table.along_moment[0, :, 0] / table.along[0, :, 0]
    assert by_table[[0, 6]] == pytest.approx(band.central_m[0], rel=2e-3)
    # A balance point ahead of one plane's centre and behind the other's holds one way only.
    between = float(band.central_m[0].mean())
    assert trim_of(body, (), (between, 0.0, 0.0), (0.3, (0.0, 0.0))).angle_rad is None
    ahead = float(band.central_m[0].min()) - 0.05
    assert trim_of(body, (), (ahead, 0.0, 0.0), (0.3, (0.0, 0.0))).angle_rad == pytest.approx(0.0)


def test_planes_turn_with_the_body() -> None:
    straight, turned = half_ellipsoid(3.0), half_ellipsoid(3.0, 0.7)
    c, s = np.cos(0.7), np.sin(0.7)
    turn = np.array([[c, -s], [s, c]])
    assert turned.relief_m3 == pytest.approx(turn @ straight.relief_m3 @ turn.T, rel=5e-3, abs=1e-4)


def test_planes_join_smoothly_where_a_body_becomes_even() -> None:
    stations = np.array([0.0, 3.0])
    for more in (1e-4, 9e-4, 1.1e-3, 3e-3):
        tensors = np.repeat(np.diag([1.0, 1.0 + more])[None], 2, axis=0)
        assert relief_by_plane(stations, tensors) == pytest.approx(np.eye(2), abs=2 * more)


def test_slender_limits_and_refusals() -> None:
    # A long ellipsoid's relief vanishes beside its slender moment.
    long = np.array(ellipsoid_relief(100.0, (2.0, 1.0))) / (4 / 3 * np.pi * 100.0 * np.array([1.0, 4.0]))
    assert np.all(long < 5e-3)
    assert np.all(long > 0.0)
    with pytest.raises(OutsideRange, match="positive"):
        ellipsoid_relief(1.0, (0.0, 1.0))
    with pytest.raises(OutsideRange, match="added mass"):
        relief_by_plane(np.array([0.0, 1.0]), np.zeros((2, 2, 2)))
