"""Follow separations in time and say what each did to the cord, the lip and the pieces."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.assemble.recovery.records import Meeting, PulledCase
from finial.assemble.recovery.scene import AFT, FORE, Rig, scene_of
from finial.assemble.recovery.start import SeparationStart
from finial.recovery.cords.zipper import Lip, lip_holds_at
from finial.recovery.tether.batch import ANGLE, SPEED_X, SPEED_Z, X, Z
from finial.recovery.tether.run import History, run
from finial.recovery.tether.scene import Piece

FOLLOWED_S = 5.0
LEAST_PULL_N = 5.0
"""Pulls below this are slack folds and not counted [N]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """Cases of one build and their common history."""

    rigs: tuple[Rig, ...]
    starts: tuple[SeparationStart, ...]
    history: History


def follow(pairs: Sequence[tuple[Rig, SeparationStart]]) -> Followed:
    """Run all cases side by side."""
    made = [scene_of(rig, start) for rig, start in pairs]
    history = run([scene for scene, _ in made], [launch for _, launch in made], FOLLOWED_S)
    return Followed(
        rigs=tuple(rig for rig, _ in pairs), starts=tuple(start for _, start in pairs), history=history
    )


def pulled_case(followed: Followed, index: int, lip: Lip | None, what: str = "") -> PulledCase:
    """Sum one case up."""
    start, history = followed.starts[index], followed.history
    tensions = history.tensions_n[:, index, :]
    bend, tension, side = _worst_on_lip(history, index, lip)
    low = margin_of(history, index, lip, "low")
    return PulledCase(
        what=what or f"{start.offset_s:+.1f} s, {start.wind}",
        offset_s=start.offset_s,
        wind=start.wind,
        speed_m_s=start.speed_m_s,
        across_m_s=start.along_m_s,
        peak_n=float(tensions[:, :2].max()),
        snatch_n=float(tensions[:, 2].max()) if tensions.shape[1] > 2 else 0.0,
        lip_bend_rad=bend,
        lip_tension_n=tension,
        lip_edge=_edge(side, start),
        margin_low=low,
        margin=margin_of(history, index, lip, "value"),
    )


def margin_of(history: History, index: int, lip: Lip | None, end: str) -> float | None:
    """Least of lip strength over tension, less one [-]; ``None`` without a lip."""
    if lip is None:
        return None
    use = _use(history, index, lip, end)
    return float(1 / max(float(use.max()), 1e-3) - 1)


def _use(history: History, index: int, lip: Lip, end: str) -> NDArray[np.float64]:
    """Tension over what the lip holds at that bend, over time [-]."""
    tension = history.tensions_n[:, index, 0].astype(float)
    bend = history.bends_rad[:, index, 0].astype(float)
    bears = (bend > 0) & (tension > LEAST_PULL_N)
    return np.where(bears, tension / lip_holds_at(lip, bend, end), 0.0)


def _worst_on_lip(history: History, index: int, lip: Lip | None) -> tuple[float, float, float]:
    """Bend [rad], tension [N] and side at the moment that is hardest on the lip."""
    bend, tension = history.bends_rad[:, index, 0], history.tensions_n[:, index, 0]
    hard = _use(history, index, lip, "low") if lip else tension * np.sin(bend / 2)
    worst = int(np.argmax(hard))
    if hard[worst] <= 0:
        return 0.0, 0.0, 0.0
    return float(bend[worst]), float(tension[worst]), float(history.lip_sides[worst, index, 0])


def _edge(side: float, start: SeparationStart) -> str:
    """Name the edge: the left of an axis that points along the flight is the upper one."""
    if side == 0:
        return ""
    level = abs(start.angle_rad) % np.pi
    if 0.25 * np.pi < level < 0.75 * np.pi:
        return "edge away from the drift" if (side > 0) == (start.angle_rad > 0) else "edge towards the drift"
    upper = (side > 0) == (np.cos(start.angle_rad) > 0)
    return "upper edge" if upper else "lower edge"


def meeting_of(followed: Followed, index: int) -> Meeting | None:
    """First time the two sides touch after the whole cord has come taut, if they do."""
    history, rig = followed.history, followed.rigs[index]
    taut = np.flatnonzero((history.tensions_n[:, index, :2] > LEAST_PULL_N).all(axis=1))
    if len(taut) == 0:
        return None
    after = history.kept_times_s > history.times_s[taut[0]]
    states = history.states[after][:, :, index, :]
    fore, aft = rig.fore.piece, rig.aft.piece
    gap = np.linalg.norm(_along(states, FORE, fore)[:, :, None] - _along(states, AFT, aft)[:, None], axis=-1)
    touching = np.flatnonzero(gap.min(axis=(1, 2)) < fore.radius_m + aft.radius_m)
    if len(touching) == 0:
        return None
    state = states[touching[0]]
    apart = np.array([state[X, FORE] - state[X, AFT], state[Z, FORE] - state[Z, AFT]])
    closing = np.array(
        [state[SPEED_X, FORE] - state[SPEED_X, AFT], state[SPEED_Z, FORE] - state[SPEED_Z, AFT]]
    )
    start = followed.starts[index]
    return Meeting(
        case=f"{start.offset_s:+.1f} s, {start.wind}",
        time_s=float(history.kept_times_s[after][touching[0]]),
        closing_m_s=max(float(-closing @ apart / max(np.linalg.norm(apart), 1e-9)), 0.0),
    )


def _along(states: NDArray[np.float64], piece: int, body: Piece) -> NDArray[np.float64]:
    """Points along a piece's axis at each time, shape (m, 9, 2)."""
    reach = np.linspace(-body.aft_m, body.fore_m, 9)
    x = states[:, X, piece, None] + reach * np.cos(states[:, ANGLE, piece, None])
    z = states[:, Z, piece, None] + reach * np.sin(states[:, ANGLE, piece, None])
    return np.stack([x, z], axis=-1)


def level_start(start: SeparationStart, across_m_s: float) -> SeparationStart:
    """Return the start at apogee itself with another horizontal speed, the axis along it."""
    return replace(
        start, offset_s=0.0, along_m_s=across_m_s, up_m_s=0.0, angle_rad=0.0, rate_rad_s=0.0, wind="any"
    )
