"""Follow separations in time and say what each did to the cord, the lip and the pieces."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from finial.assemble.recovery.records import FollowedPieces, LipEdge, PieceMeeting, PulledCase, StartDoubt
from finial.assemble.recovery.scene import Rig, scene_of
from finial.assemble.recovery.start import SeparationStart
from finial.recovery.cords.zipper import Lip
from finial.recovery.tether.layout import ANGLE, X, Z
from finial.recovery.tether.outcome import (
    first_contact,
    hardest_on_lip,
    least_margin,
    lip_use,
    pull_on_end,
)
from finial.recovery.tether.run import History, run
from finial.recovery.tether.scene import Scene

FOLLOWED_S = 5.0
CORD_LINES = (0, 1)
"""Lines of a scene that are the cord: from the bay, and from the other side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """Cases of one build and their common history."""

    rigs: tuple[Rig, ...]
    starts: tuple[SeparationStart, ...]
    scenes: tuple[Scene, ...]
    history: History


def follow(pairs: Sequence[tuple[Rig, SeparationStart]]) -> Followed:
    """Run all cases side by side."""
    made = [scene_of(rig, start) for rig, start in pairs]
    history = run([scene for scene, _ in made], [launch for _, launch in made], FOLLOWED_S)
    return Followed(
        rigs=tuple(rig for rig, _ in pairs),
        starts=tuple(start for _, start in pairs),
        scenes=tuple(scene for scene, _ in made),
        history=history,
    )


def pulled_case(
    followed: Followed, index: int, lip: Lip | None, doubt: StartDoubt = StartDoubt.NONE
) -> PulledCase:
    """Sum one case up."""
    start, history = followed.starts[index], followed.history
    tensions = history.tensions_n[index]
    hardest = hardest_on_lip(history, index, lip)
    on_tube, on_other = (pull_on_end(history, index, line, followed.scenes[index]) for line in CORD_LINES)
    bay_is_aft = followed.rigs[index].bay_is_aft
    return PulledCase(
        doubt=doubt,
        offset_s=start.offset_s,
        wind=start.wind,
        speed_m_s=start.speed_m_s,
        across_m_s=start.along_m_s,
        peak_n=float(tensions[:, :2].max()),
        snatch_n=float(tensions[:, 2].max()) if tensions.shape[1] > 2 else 0.0,
        lip_bend_rad=hardest.bend_rad,
        lip_tension_n=hardest.tension_n,
        lip_edge=_edge(hardest.side, start),
        margin_low=margin_of(history, index, lip, "low"),
        margin=margin_of(history, index, lip, "value"),
        on_fore=on_other if bay_is_aft else on_tube,
        on_aft=on_tube if bay_is_aft else on_other,
    )


def pieces_of(followed: Followed, index: int, lip: Lip | None) -> FollowedPieces:
    """Tell how the pieces of one case move, at the times that their states were kept."""
    history, start = followed.history, followed.starts[index]
    states = history.states[index]
    # Lines are told at every step, pieces at every few of the same steps.
    at = np.searchsorted(history.times_s, history.kept_times_s - 1e-9).clip(0, len(history.times_s) - 1)
    return FollowedPieces(
        offset_s=start.offset_s,
        wind=start.wind,
        times_s=history.kept_times_s,
        places_m=np.stack([states[:, X], states[:, Z]], axis=-1),
        angles_rad=states[:, ANGLE],
        tensions_n=history.tensions_n[index, at].astype(float),
        bends_rad=history.bends_rad[index, at, 0].astype(float),
        lip_use=None if lip is None else lip_use(history, index, lip, "low")[at],
    )


def margin_of(history: History, index: int, lip: Lip | None, end: str) -> float | None:
    """Least of lip strength over tension, less one [-]; ``None`` without a lip."""
    return None if lip is None else least_margin(history, index, lip, end)


def _edge(side: int, start: SeparationStart) -> LipEdge:
    """Tell the edge: the left of an axis that points along the flight is the upper one."""
    if side == 0:
        return LipEdge.NONE
    level = abs(start.angle_rad) % np.pi
    if 0.25 * np.pi < level < 0.75 * np.pi:
        return LipEdge.LEEWARD if (side > 0) == (start.angle_rad > 0) else LipEdge.WINDWARD
    upper = (side > 0) == (np.cos(start.angle_rad) > 0)
    return LipEdge.UPPER if upper else LipEdge.LOWER


def meeting_of(followed: Followed, index: int) -> PieceMeeting | None:
    """First time the two sides touch after the whole cord has come taut, if they do."""
    rig, start = followed.rigs[index], followed.starts[index]
    contact = first_contact(followed.history, index, (rig.fore.piece, rig.aft.piece))
    if contact is None:
        return None
    return PieceMeeting(
        offset_s=start.offset_s,
        wind=start.wind,
        time_s=contact.time_s,
        closing_m_s=contact.closing_m_s,
    )


def level_start(start: SeparationStart, across_m_s: float) -> SeparationStart:
    """Return the start at apogee itself with another horizontal speed, the axis along it."""
    return replace(
        start, offset_s=0.0, along_m_s=across_m_s, up_m_s=0.0, angle_rad=0.0, rate_rad_s=0.0, wind="any"
    )
