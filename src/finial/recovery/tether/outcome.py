"""What a followed separation did: to the lip of its tube, and between its two sides."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.recovery.cords.zipper import Lip, lip_holds_at
from finial.recovery.tether.layout import ANGLE, SPEED_X, SPEED_Z, X, Z
from finial.recovery.tether.run import History
from finial.recovery.tether.scene import Piece, Scene

LEAST_PULL_N = 5.0
"""Pulls below this are slack folds and not counted [N]."""
LEAST_USE = 1e-3
"""Pulls that use less of the lip than this leave a margin of a thousand [-]."""
AXIS_POINTS = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class LipPull:
    """The cord on the lip at one moment."""

    bend_rad: float
    tension_n: float
    side: int
    """+1 the lip to the left of the tube's axis, -1 the one to the right, 0 none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EndPull:
    """Largest pulls of a line on the piece it is tied to, along its axis and across it, at any times."""

    along_n: float
    """Whichever way [N]."""
    across_n: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Two sides that touch."""

    time_s: float
    closing_m_s: float
    """Speed at which their balance points come together [m/s]."""


def lip_use(history: History, case: int, lip: Lip, end: str) -> NDArray[np.float64]:
    r"""Tension in the cord out of the tube over what its lip holds, over time.

    .. math::  u(t) = T(t) / T_{lip}(\theta(t))

    Parameters
    ----------
    history : History
        Pulls [N] and bends [rad]; the first line is the one that passes the mouth.
    case : int
        Which case.
    lip : Lip
        The lip [m], [Pa].
    end : str
        ``low``, ``value`` or ``high`` end of its strength.

    Returns
    -------
    use : ndarray, shape (n,)
        Share [-]; 0 where the cord runs free, or pulls with less than 5 N.

    Notes
    -----
    Range and error as ``lip_holds``.

    References
    ----------
    .. [1] As ``lip_holds``.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> from finial.recovery.tether.example import two_points
    >>> from finial.recovery.tether.run import run
    >>> history = run(*([one] for one in two_points()), 0.05)
    >>> tube = Lip(wall_m=0.0015, cord_width_m=0.025, edge_radius_m=0.0002, strength_pa=exact(50e6))
    >>> float(lip_use(history, 0, tube, "low").max())
    0.0
    """
    tension = history.tensions_n[case, :, 0].astype(float)
    bend = history.bends_rad[case, :, 0].astype(float)
    bears = (bend > 0) & (tension > LEAST_PULL_N)
    return np.where(bears, tension / lip_holds_at(lip, bend, end), 0.0)


def least_margin(history: History, case: int, lip: Lip, end: str) -> float:
    r"""Least strength of the lip over pull, less one, over a whole separation.

    .. math::  M = \min_t 1 / u(t) - 1

    Parameters
    ----------
    history : History
        Pulls [N] and bends [rad].
    case : int
        Which case.
    lip : Lip
        The lip [m], [Pa].
    end : str
        ``low``, ``value`` or ``high`` end of its strength.

    Returns
    -------
    margin : float
        Margin [-]; 999 where the cord never bears on the lip.

    Notes
    -----
    Range and error as ``lip_holds``.

    References
    ----------
    .. [1] As ``lip_holds``.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> from finial.recovery.tether.example import two_points
    >>> from finial.recovery.tether.run import run
    >>> history = run(*([one] for one in two_points()), 0.05)
    >>> tube = Lip(wall_m=0.0015, cord_width_m=0.025, edge_radius_m=0.0002, strength_pa=exact(50e6))
    >>> round(least_margin(history, 0, tube, "low"))
    999
    """
    return float(1 / max(float(lip_use(history, case, lip, end).max()), LEAST_USE) - 1)


def hardest_on_lip(history: History, case: int, lip: Lip | None) -> LipPull:
    r"""Pull at the moment that is hardest on the lip.

    .. math::  t^* = \arg\max_t u(t), \qquad \text{or of } T \sin(\theta / 2) \text{ where no lip is known}

    Parameters
    ----------
    history : History
        Pulls [N] and bends [rad].
    case : int
        Which case.
    lip : Lip or None
        The lip [m], [Pa], if it is known.

    Returns
    -------
    pull : LipPull
        Bend [rad], tension [N] and side; all nothing where the cord never bears on it.

    Notes
    -----
    Range and error as ``lip_holds``.

    References
    ----------
    .. [1] As ``lip_holds``.

    Examples
    --------
    >>> from finial.recovery.tether.example import two_points
    >>> from finial.recovery.tether.run import run
    >>> hardest_on_lip(run(*([one] for one in two_points()), 0.05), 0, None).tension_n
    0.0
    """
    bend, tension = history.bends_rad[case, :, 0], history.tensions_n[case, :, 0]
    hard = lip_use(history, case, lip, "low") if lip else tension * np.sin(bend / 2)
    worst = int(np.argmax(hard))
    if hard[worst] <= 0:
        return LipPull(bend_rad=0.0, tension_n=0.0, side=0)
    return LipPull(
        bend_rad=float(bend[worst]),
        tension_n=float(tension[worst]),
        side=int(history.lip_sides[case, worst, 0]),
    )


def pull_on_end(history: History, case: int, line: int, scene: Scene) -> EndPull:
    r"""Largest pulls of a line on its first piece.

    .. math::  \max_t T \, |\cos\alpha|, \qquad \max_t T \, |\sin\alpha|

    with :math:`\alpha` the angle between the line, past the lip if it bears on one, and the piece's axis.

    Parameters
    ----------
    history : History
        Pulls [N] and states of the pieces.
    case : int
        Which case.
    line : int
        Which line.
    scene : Scene
        Pieces and lines of that case.

    Returns
    -------
    pull : EndPull
        Along and across the axis [N]; nothing where it never comes taut.

    Notes
    -----
    Angles are those of the states that are kept, every few steps; the largest tension until the next counts.
    A line that bends round a lip pulls there; what it pushes on the tube's wall behind is left out.

    References
    ----------
    .. [1] Components of a force; no source needed.

    Examples
    --------
    >>> from finial.recovery.tether.example import two_points
    >>> from finial.recovery.tether.run import run
    >>> scene, launch = two_points()
    >>> pull = pull_on_end(run([scene], [launch], 0.1), 0, 0, scene)
    >>> round(pull.along_n, -1), round(pull.across_n)
    (2000.0, 0)
    """
    given = scene.lines[line]
    first = np.searchsorted(history.times_s, history.kept_times_s[:-1] - 1e-12)
    tension = np.maximum.reduceat(history.tensions_n[case, :, line], first).astype(float)
    sides = history.lip_sides[case, first, line].astype(float)
    states = history.states[case, :-1]
    x, z, angle = (states[:, row, given.first.piece] for row in (X, Z, ANGLE))
    axis = np.column_stack([np.cos(angle), np.sin(angle)])
    left = np.column_stack([-axis[:, 1], axis[:, 0]])
    mouth_m, lip_m = (given.mouth.along_m, given.mouth.radius_m) if given.mouth else (0.0, 0.0)
    along = np.where(sides == 0, given.first.along_m, mouth_m)
    across = np.where(sides == 0, given.first.across_m, sides * lip_m)
    leaves = np.column_stack([x, z]) + along[:, None] * axis + across[:, None] * left
    runs = states[:, (X, Z), given.second.piece] - leaves
    unit = runs / np.maximum(np.linalg.norm(runs, axis=1), 1e-9)[:, None]
    return EndPull(
        along_n=float((tension * np.abs((unit * axis).sum(axis=1))).max()),
        across_n=float((tension * np.abs((unit * left).sum(axis=1))).max()),
    )


def first_contact(history: History, case: int, sides: tuple[Piece, Piece]) -> Contact | None:
    r"""First time that the two sides touch after the whole cord has come taut.

    .. math::  \min_{i, j} |p_i - q_j| < r_p + r_q

    over points along both axes.

    Parameters
    ----------
    history : History
        States of the pieces; the two sides stand first.
    case : int
        Which case.
    sides : (Piece, Piece)
        Fore and aft side, with their reach and radius [m].

    Returns
    -------
    contact : Contact or None
        Time [s] and closing speed [m/s]; ``None`` where they keep apart.

    Notes
    -----
    Holds for pieces no longer than eight times their width; longer ones may slip past between the nine
    points. The plane of the motion is the worst: out of it they may miss.

    References
    ----------
    .. [1] Distance of points; no source needed.

    Examples
    --------
    >>> from finial.recovery.tether.example import two_points
    >>> from finial.recovery.tether.run import run
    >>> scene, launch = two_points()
    >>> first_contact(run([scene], [launch], 0.05), 0, scene.pieces) is None
    True
    """
    taut = np.flatnonzero((history.tensions_n[case, :, :2] > LEAST_PULL_N).all(axis=1))
    if len(taut) == 0:
        return None
    after = history.kept_times_s > history.times_s[taut[0]]
    states, times = history.states[case][after], history.kept_times_s[after]
    fore, aft = (_along(states, index, side) for index, side in enumerate(sides))
    gap = np.linalg.norm(fore[:, :, None] - aft[:, None], axis=-1).min(axis=(1, 2))
    touching = np.flatnonzero(gap < sides[0].radius_m + sides[1].radius_m)
    if len(touching) == 0:
        return None
    state = states[touching[0]]
    apart = np.array([state[X, 0] - state[X, 1], state[Z, 0] - state[Z, 1]])
    opening = np.array([state[SPEED_X, 0] - state[SPEED_X, 1], state[SPEED_Z, 0] - state[SPEED_Z, 1]])
    closing = float(-opening @ apart / max(np.linalg.norm(apart), 1e-9))
    return Contact(time_s=float(times[touching[0]]), closing_m_s=max(closing, 0.0))


def _along(states: NDArray[np.float64], index: int, piece: Piece) -> NDArray[np.float64]:
    """Points along a piece's axis at each time, shape (m, 9, 2)."""
    reach = np.linspace(-piece.aft_m, piece.fore_m, AXIS_POINTS)
    x = states[:, X, index, None] + reach * np.cos(states[:, ANGLE, index, None])
    z = states[:, Z, index, None] + reach * np.sin(states[:, ANGLE, index, None])
    return np.stack([x, z], axis=-1)
