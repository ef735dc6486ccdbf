"""Many scenes of one build side by side, as the rows that the kernel reads."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.recovery.tether.layout import ANGLE, RATE, SPEED_X, SPEED_Z, X, Z
from finial.recovery.tether.scene import Filling, Piece, Scene, TetherLine, TetherStart, refuse_bad_scene

Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Scenes stacked: rows of pieces (c, b, 10) and of lines (c, k, 10), columns as in the layout."""

    pieces: Numbers
    lines: Numbers
    ends: NDArray[np.int64]
    """(k, 2) pieces that each line ties."""
    pulls: NDArray[np.int64]
    """(b,) line that starts a piece's filling; -1 without a canopy."""


def stacked(scenes: Sequence[Scene], launches: Sequence[TetherStart]) -> tuple[Batch, Numbers]:
    """Stack scenes of the same build; return them and the states they start in.

    Parameters
    ----------
    scenes : sequence of Scene
        One for each case.
    launches : sequence of TetherStart
        How each begins.

    Returns
    -------
    batch : Batch
        All cases, rows of pieces and of lines.
    states : ndarray, shape (c, 7, b)
        Places [m], angles [rad], speeds [m/s], rates [rad/s], filled distance [m].

    Raises
    ------
    OutsideRange
        If a scene cannot move, or the scenes are not built alike.

    Notes
    -----
    Numbers are carried over as they are: a batch moves as its scenes would one by one.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.recovery.tether.example import two_points
    >>> scene, launch = two_points()
    >>> batch, states = stacked([scene, scene], [launch, launch])
    >>> batch.pieces[:, :, 0].tolist(), states.shape
    ([[2.0, 6.0], [2.0, 6.0]], (2, 7, 2))
    """
    for scene, launch in zip(scenes, launches, strict=True):
        refuse_bad_scene(scene, launch)
    _refuse_unlike(scenes)
    states = np.zeros((len(scenes), 7, len(scenes[0].pieces)))
    for state, launch in zip(states, launches, strict=True):
        state[X], state[Z] = launch.places_m.T
        state[SPEED_X], state[SPEED_Z] = launch.speeds_m_s.T
        state[ANGLE], state[RATE] = launch.angles_rad, launch.rates_rad_s
    first = scenes[0]
    pulls = np.full(len(first.pieces), -1, dtype=np.int64)
    for one in first.fillings:
        pulls[one.piece] = one.line
    batch = Batch(
        pieces=np.array([_piece_rows(scene) for scene in scenes]),
        lines=np.array([[_line_row(line) for line in scene.lines] for scene in scenes]),
        ends=np.array([(line.first.piece, line.second.piece) for line in first.lines], dtype=np.int64),
        pulls=pulls,
    )
    return batch, states


def _refuse_unlike(scenes: Sequence[Scene]) -> None:
    build: Callable[[Scene], tuple[object, ...]] = lambda scene: (  # noqa: E731
        len(scene.pieces),
        tuple((line.first.piece, line.second.piece) for line in scene.lines),
        tuple((one.piece, one.line) for one in scene.fillings),
    )
    if len({build(scene) for scene in scenes}) != 1:
        raise OutsideRange("scenes that run together must have the same pieces, lines and canopies")


def _piece_rows(scene: Scene) -> list[tuple[float, ...]]:
    fillings = {one.piece: one for one in scene.fillings}
    return [_piece_row(scene, piece, fillings.get(index)) for index, piece in enumerate(scene.pieces)]


def _piece_row(scene: Scene, piece: Piece, filling: Filling | None) -> tuple[float, ...]:
    half_density = scene.density_kg_m3 / 2
    return (
        piece.mass_kg,
        1 / piece.inertia_kg_m2 if piece.inertia_kg_m2 > 0 else 0.0,
        half_density * piece.end_on_area_m2,
        half_density * piece.side_on_area_m2,
        half_density * _turning_area(piece),
        half_density * filling.bundle_area_m2 if filling else 0.0,
        half_density * max(filling.full_area_m2 - filling.bundle_area_m2, 0.0) if filling else 0.0,
        filling.distance_m if filling else 1.0,
        filling.growth_exponent if filling else 1.0,
        scene.gravity_m_s2,
    )


def _turning_area(piece: Piece) -> float:
    """Drag area of a bar times length cubed over 32: its moment when it turns about its middle."""
    return piece.side_on_area_m2 * (piece.fore_m + piece.aft_m) ** 3 / 32


def _line_row(line: TetherLine) -> tuple[float, ...]:
    mouth = line.mouth
    return (
        line.first.along_m,
        line.first.across_m,
        line.second.along_m,
        line.second.across_m,
        line.length_m,
        line.load_per_stretch_n / line.length_m,
        line.loss,
        mouth.along_m if mouth else 0.0,
        mouth.radius_m if mouth else 0.0,
        0.0 if mouth is None else 1.0 if mouth.towards_fore else -1.0,
    )
