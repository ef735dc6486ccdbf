"""One cord's study: the separation over event time and speed, and remedies tried against the zipper."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from finial.assemble.recovery.inputs import Apart
from finial.assemble.recovery.lines import strength_of
from finial.assemble.recovery.lip import lip_study
from finial.assemble.recovery.pulls import (
    Followed,
    follow,
    level_start,
    margin_of,
    meeting_of,
    pieces_of,
    pulled_case,
)
from finial.assemble.recovery.records import (
    FollowedScene,
    PulledCase,
    Remedy,
    RemedyKind,
    StartDoubt,
    TetherStudy,
)
from finial.assemble.recovery.results import CordResult
from finial.assemble.recovery.scene import Rig
from finial.assemble.recovery.start import CALM, DAY, WINDY, SeparationStart
from finial.core.estimates import Estimate, exact
from finial.materials.material import material
from finial.recovery.cords.kinds import Separation, cord_peak_load
from finial.recovery.cords.practice import length_over_vehicle, rated_over_weight
from finial.recovery.cords.zipper import Lip, LipRing, behind_ring

OFFSETS_S = tuple(np.arange(-3.0, 5.01, 0.5).tolist())
TRIED_S = (-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0, 4.0, 5.0)
SPEEDS_M_S = (0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0)
TILT_RAD = float(np.radians(15.0))
"""How far the vehicle may lie off its computed attitude [rad]; assumed."""
LEAST_PARTING_M_S = 0.5
ON_TIME_S = 1.0
"""What counts as on time [s]."""
RING_WALL_M, RING_EDGE_M, RING_STUFF = 3e-3, 5e-3, "6061-T6"
DROGUE_SHARE = 0.04
"""Drag area of a drogue over that of the main it stands in for; a fifth of its diameter [-]."""
LESS_PARTING, SLIDER_FILLS = 0.7, 2.0
"""Speed of parting and filling length of remedies, over what they are [-]; chosen, assumed."""

OtherRig = tuple[RemedyKind, float, Rig]
"""What is changed, its size [m] or [-], and the build with it."""


def tether_study(
    rig: Rig,
    starts: Sequence[SeparationStart],
    result: CordResult,
    parted: tuple[Apart, Estimate],
    changes: list[OtherRig],
) -> TetherStudy:
    """Study one cord in time.

    Parameters
    ----------
    rig : Rig
        The cord, its joint and the pieces on it.
    starts : sequence of SeparationStart
        The event at every offset in three winds, day first.
    result : CordResult
        What the quick look says of the cord.
    parted : tuple of Apart, Estimate
        Masses on either side of the joint, and the speed of parting [m/s].
    changes : list of OtherRig
        Other builds to follow beside it, each with the size that is changed [m] or [-].

    Returns
    -------
    study : TetherStudy
        Pulls and lips of every case.
    """
    lip, (apart, parting) = rig.lip, parted
    at_time = next(start for start in starts if start.wind == DAY and start.offset_s == 0.0)
    levels = [level_start(at_time, speed) for speed in SPEEDS_M_S]
    tried = [start for start in starts if start.offset_s in TRIED_S and start.wind == WINDY]
    ends = _spread(rig, at_time, parting)
    pairs = [(rig, start) for start in (*starts, *levels)]
    pairs += [(changed, start) for _, changed, start in ends]
    pairs += [(changed, start) for _, _, changed in changes for start in tried]
    followed = follow(pairs)
    count, after = len(starts), len(starts) + len(levels)
    cases = tuple(pulled_case(followed, index, lip) for index in range(count))
    nominal = starts.index(at_time)
    return TetherStudy(
        cord=rig.cord.name,
        joint=rig.cord.joint,
        strength=strength_of(rig.cord),
        rated_over_weight=rated_over_weight(rig.line.breaking_load_n.value, _hanging_kg(rig)),
        length_over_vehicle=length_over_vehicle(rig.cord_length_m, _length_m(rig)),
        closed_form=_closed_form(rig, apart, parting),
        parting_m_s=parting,
        times_s=followed.history.times_s,
        tensions_n=followed.history.tensions_n[nominal].T.astype(float),
        canopy=rig.canopy.name if rig.canopy else "",
        cases=cases,
        spread=tuple(
            pulled_case(followed, after + index, lip, doubt) for index, (doubt, _, _) in enumerate(ends)
        ),
        by_speed=tuple(pulled_case(followed, count + index, lip) for index in range(len(levels))),
        meeting=_meeting(followed, count, nominal),
        lip=lip_study(rig.bay, lip) if lip else None,
        remedies=_remedies(lip, cases, _Trials(followed, after + len(ends), changes, len(tried))),
        hangs=at_time.hangs,
        width_assumed=rig.line.width_m is None,
        may_part=result.peak_load.high > result.strength.low,
        followed=_followed_scene(followed, cases, nominal, lip),
    )


def _followed_scene(
    followed: Followed, cases: Sequence[PulledCase], nominal: int, lip: Lip | None
) -> FollowedScene:
    """Keep how the pieces move on time, and in the case that is hardest on the lip or the cord."""
    worst = min(range(len(cases)), key=lambda index: _spare(cases[index]))
    scene = followed.scenes[nominal]
    told = dict.fromkeys((nominal, worst))
    return FollowedScene(
        pieces=scene.pieces,
        lines=scene.lines,
        cases=tuple(pieces_of(followed, index, lip) for index in told),
    )


def _spare(case: PulledCase) -> tuple[float, float]:
    """Say what is left of the lip; where it is not known the hardest pull comes first."""
    return (0.0 if case.margin_low is None else case.margin_low, -case.peak_n)


def _spread(
    rig: Rig, start: SeparationStart, parting: Estimate
) -> list[tuple[StartDoubt, Rig, SeparationStart]]:
    """List the ends of what is not known on time: speed of parting, and how the vehicle lies."""
    speeds = ((StartDoubt.SLOW, parting.low), (StartDoubt.FAST, parting.high))
    tilts = ((StartDoubt.NOSE_UP, TILT_RAD), (StartDoubt.NOSE_DOWN, -TILT_RAD))
    return [
        *((doubt, replace(rig, parting_m_s=max(speed, LEAST_PARTING_M_S)), start) for doubt, speed in speeds),
        *((doubt, rig, replace(start, angle_rad=start.angle_rad + tilt)) for doubt, tilt in tilts),
    ]


def _hanging_kg(rig: Rig) -> float:
    return rig.fore.piece.mass_kg + rig.aft.piece.mass_kg


def _length_m(rig: Rig) -> float:
    return sum(side.piece.fore_m + side.piece.aft_m for side in (rig.fore, rig.aft))


def _closed_form(rig: Rig, masses: Apart, parting: Estimate) -> Estimate:
    """Peak load by the energy of two bodies at the speed the charge in time gives."""
    apart = Separation(
        fore_mass_kg=masses.fore_kg,
        aft_mass_kg=masses.aft_kg,
        speed_m_s=parting,
        length_m=exact(rig.cord_length_m),
    )
    return cord_peak_load(apart, rig.line)


def _meeting(followed: Followed, count: int, nominal: int):
    """Worst meeting: the one on time if there is one, else the fastest of the others."""
    on_time = meeting_of(followed, nominal)
    if on_time is not None:
        return on_time
    others = filter(None, (meeting_of(followed, index) for index in range(count)))
    return max(others, key=lambda meeting: meeting.closing_m_s, default=None)


def other_rigs(rig: Rig) -> list[OtherRig]:
    """Change the build in each way that must be followed anew: what, its size [m] or [-], and the build."""
    line, longer = rig.line, 2 * rig.cord_length_m
    softer = replace(line, stretch_at_break=line.stretch_at_break.scaled(2.0))
    if line.stretch_at_break.value < 0.1:
        softer = replace(line, stretch_at_break=exact(0.25))
    found = [
        (RemedyKind.LONGER_CORD, longer, replace(rig, cord_length_m=longer)),
        (RemedyKind.SOFTER_CORD, softer.stretch_at_break.value, replace(rig, line=softer)),
        (RemedyKind.LESS_CHARGE, LESS_PARTING, replace(rig, parting_m_s=LESS_PARTING * rig.parting_m_s)),
    ]
    if rig.canopy is not None:
        drogue = replace(
            rig,
            canopy_area_m2=rig.canopy_area_m2 * DROGUE_SHARE,
            filling_m=rig.filling_m * DROGUE_SHARE**0.5,
        )
        slider = replace(rig, filling_m=SLIDER_FILLS * rig.filling_m)
        found += [(RemedyKind.DROGUE, DROGUE_SHARE, drogue), (RemedyKind.SLIDER, SLIDER_FILLS, slider)]
    return found


@dataclass(frozen=True, slots=True)
class _Trials:
    """Where the changed builds stand in a batch: from ``first`` on, ``each`` cases for every change."""

    followed: Followed
    first: int
    changes: list[OtherRig]
    each: int


def _remedies(lip: Lip | None, cases: tuple[PulledCase, ...], trials: _Trials) -> tuple[Remedy, ...]:
    """Everything tried, best first; as built stands among them."""
    history = trials.followed.history
    built = [index for index, case in enumerate(cases) if case.wind == WINDY and case.offset_s in TRIED_S]
    prompt = [index for index in built if abs(cases[index].offset_s) <= ON_TIME_S]

    def worst(indices: Sequence[int], on: Lip | None, kind: RemedyKind, size: float = 0.0) -> Remedy:
        margins = [margin_of(history, index, on, "low") for index in indices]
        known = [margin for margin in margins if margin is not None]
        peak = max(float(history.tensions_n[index, :, :2].max()) for index in indices)
        return Remedy(kind=kind, size=size, margin=min(known) if known else None, peak_n=peak)

    found = [worst(built, lip, RemedyKind.AS_BUILT), worst(prompt, lip, RemedyKind.ON_TIME)]
    for number, (kind, size, _) in enumerate(trials.changes):
        start = trials.first + number * trials.each
        found.append(worst(range(start, start + trials.each), lip, kind, size))
    if lip is not None:
        stuff = material(RING_STUFF)
        ring = LipRing(wall_m=RING_WALL_M, edge_radius_m=RING_EDGE_M, strength_pa=stuff.yield_pa)
        wide = replace(lip, cord_width_m=2 * lip.cord_width_m)
        found.append(worst(built, behind_ring(lip, ring), RemedyKind.RING, RING_WALL_M))
        found.append(worst(built, wide, RemedyKind.WIDE_WEBBING, wide.cord_width_m))
    return tuple(sorted(found, key=lambda one: -(one.margin if one.margin is not None else -one.peak_n)))


def winds() -> tuple[str, str, str]:
    """Flights that every study starts from, the day's first."""
    return DAY, WINDY, CALM
