"""Many scenes of one build side by side, so that one pass of array arithmetic moves them all."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.recovery.tether.scene import Filling, Piece, Scene, TetherLine, TetherStart, Tie, refuse_bad_scene

Numbers = NDArray[np.float64]

X, Z, ANGLE, SPEED_X, SPEED_Z, RATE, FILLED = range(7)
"""Rows of the state, shape (7, cases, pieces); the last is the distance a canopy has filled over [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineEnds:
    """One end of every line: piece (k,), and where on it (c, k)."""

    piece: NDArray[np.intp]
    along_m: Numbers
    across_m: Numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Scenes stacked: (c, b) over cases and pieces, (c, k) over cases and lines."""

    masses_kg: Numbers
    inverse_inertias: Numbers
    """0 for points, which do not turn."""
    inertias_kg_m2: Numbers
    half_drag_end_on: Numbers
    """Half the density times the drag area [kg/m]."""
    half_drag_side_on: Numbers
    turning_drag: Numbers
    """Moment over rate squared [kg m^2]."""
    half_drag_bundle: Numbers
    half_drag_open: Numbers
    """What filling adds to the bundle [kg/m]."""
    filling_m: Numbers
    """Filling distance; 1 where there is no canopy."""
    exponents: Numbers
    pulls: NDArray[np.intp]
    """(b,) line that starts a piece's filling; -1 without a canopy."""
    first: LineEnds
    second: LineEnds
    incidence: Numbers
    """(k, b): +1 at the first piece of a line, -1 at the second."""
    lengths_m: Numbers
    stiffnesses_n_m: Numbers
    losses_s_m: Numbers
    mouth_along_m: Numbers
    mouth_radius_m: Numbers
    mouth_way: Numbers
    """+1 opens to the fore, -1 to the aft, 0 no mouth."""
    gravities_m_s2: Numbers
    """(c, 1)."""


def stacked(scenes: Sequence[Scene], launches: Sequence[TetherStart]) -> tuple[Batch, Numbers]:
    """Stack scenes of the same build; return them and the state they start in.

    Parameters
    ----------
    scenes : sequence of Scene
        One for each case.
    launches : sequence of TetherStart
        How each begins.

    Returns
    -------
    batch : Batch
        All cases side by side, (c, b) over cases and pieces, (c, k) over cases and lines.
    state : ndarray, shape (7, c, b)
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
    >>> batch, state = stacked([scene, scene], [launch, launch])
    >>> batch.masses_kg.tolist(), state.shape
    ([[2.0, 6.0], [2.0, 6.0]], (7, 2, 2))
    """
    for scene, launch in zip(scenes, launches, strict=True):
        refuse_bad_scene(scene, launch)
    _refuse_unlike(scenes)
    state = np.zeros((7, len(scenes), len(scenes[0].pieces)))
    for case, launch in enumerate(launches):
        state[X, case], state[Z, case] = launch.places_m.T
        state[SPEED_X, case], state[SPEED_Z, case] = launch.speeds_m_s.T
        state[ANGLE, case], state[RATE, case] = launch.angles_rad, launch.rates_rad_s
    return _batch(scenes), state


def _refuse_unlike(scenes: Sequence[Scene]) -> None:
    def build(scene: Scene) -> tuple:
        lines = tuple((line.first.piece, line.second.piece) for line in scene.lines)
        return len(scene.pieces), lines, tuple((one.piece, one.line) for one in scene.fillings)

    if len({build(scene) for scene in scenes}) != 1:
        raise OutsideRange("scenes that run together must have the same pieces, lines and canopies")


def _batch(scenes: Sequence[Scene]) -> Batch:
    half_density = np.array([[scene.density_kg_m3 / 2] for scene in scenes])

    def of_pieces(get) -> Numbers:
        return np.array([[get(piece) for piece in scene.pieces] for scene in scenes], dtype=float)

    def of_lines(get) -> Numbers:
        return np.array([[get(line) for line in scene.lines] for scene in scenes], dtype=float)

    inertias = of_pieces(lambda piece: piece.inertia_kg_m2)
    inverse = np.divide(1.0, inertias, out=np.zeros_like(inertias), where=inertias > 0)
    lengths = of_lines(lambda line: line.length_m)
    return Batch(
        masses_kg=of_pieces(lambda piece: piece.mass_kg),
        inverse_inertias=inverse,
        inertias_kg_m2=inertias,
        half_drag_end_on=half_density * of_pieces(lambda piece: piece.end_on_area_m2),
        half_drag_side_on=half_density * of_pieces(lambda piece: piece.side_on_area_m2),
        turning_drag=half_density * of_pieces(_turning_area),
        **_fillings(scenes, half_density),
        first=_ends(scenes, lambda line: line.first),
        second=_ends(scenes, lambda line: line.second),
        incidence=_incidence(scenes[0]),
        lengths_m=lengths,
        stiffnesses_n_m=of_lines(lambda line: line.load_per_stretch_n) / lengths,
        losses_s_m=of_lines(lambda line: line.loss_s_m),
        mouth_along_m=of_lines(lambda line: line.mouth.along_m if line.mouth else 0.0),
        mouth_radius_m=of_lines(lambda line: line.mouth.radius_m if line.mouth else 0.0),
        mouth_way=of_lines(_way),
        gravities_m_s2=np.array([[scene.gravity_m_s2] for scene in scenes]),
    )


def _turning_area(piece: Piece) -> float:
    """Drag area of a bar times length cubed over 32: its moment when it turns about its middle."""
    return piece.side_on_area_m2 * (piece.fore_m + piece.aft_m) ** 3 / 32


def _way(line: TetherLine) -> float:
    if line.mouth is None:
        return 0.0
    return 1.0 if line.mouth.towards_fore else -1.0


def _ends(scenes: Sequence[Scene], end) -> LineEnds:
    ties: list[list[Tie]] = [[end(line) for line in scene.lines] for scene in scenes]
    return LineEnds(
        piece=np.array([tie.piece for tie in ties[0]], dtype=np.intp),
        along_m=np.array([[tie.along_m for tie in row] for row in ties], dtype=float),
        across_m=np.array([[tie.across_m for tie in row] for row in ties], dtype=float),
    )


def _incidence(scene: Scene) -> Numbers:
    matrix = np.zeros((len(scene.lines), len(scene.pieces)))
    for index, line in enumerate(scene.lines):
        matrix[index, line.first.piece] += 1.0
        matrix[index, line.second.piece] -= 1.0
    return matrix


def _fillings(scenes: Sequence[Scene], half_density: Numbers) -> dict:
    shape = (len(scenes), len(scenes[0].pieces))
    bundle, opened, distance, exponent = np.zeros(shape), np.zeros(shape), np.ones(shape), np.ones(shape)
    pulls = np.full(shape[1], -1, dtype=np.intp)
    for case, scene in enumerate(scenes):
        for one in scene.fillings:
            bundle[case, one.piece] = one.bundle_area_m2
            opened[case, one.piece] = _added(one)
            distance[case, one.piece] = one.distance_m
            exponent[case, one.piece] = one.growth_exponent
            pulls[one.piece] = one.line
    return {
        "half_drag_bundle": half_density * bundle,
        "half_drag_open": half_density * opened,
        "filling_m": distance,
        "exponents": exponent,
        "pulls": pulls,
    }


def _added(one: Filling) -> float:
    return max(one.full_area_m2 - one.bundle_area_m2, 0.0)
