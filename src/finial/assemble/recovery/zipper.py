"""One cord's study: the separation over event time and speed, and remedies tried against the zipper."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from finial.assemble.recovery.inputs import Apart
from finial.assemble.recovery.lines import strength_of
from finial.assemble.recovery.lip import USUAL_CORD_WIDTH_M, lip_words
from finial.assemble.recovery.pulls import Followed, follow, level_start, margin_of, meeting_of, pulled_case
from finial.assemble.recovery.records import PulledCase, Remedy, TetherStudy
from finial.assemble.recovery.results import CordResult
from finial.assemble.recovery.scene import Rig
from finial.assemble.recovery.start import CALM, DAY, WINDY, SeparationStart
from finial.core.estimates import Estimate, exact
from finial.materials.material import material
from finial.recovery.cords.kinds import Separation, cord_peak_load
from finial.recovery.cords.practice import length_over_vehicle, rated_over_weight
from finial.recovery.cords.zipper import Lip, Ring, behind_ring, lip_holds

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
SQUARE_RAD = float(np.pi / 2)
TIES = ("from the bay", "from the other side")


def tether_study(
    rig: Rig, starts: Sequence[SeparationStart], result: CordResult, apart: Apart, parting: Estimate
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
    apart : Apart
        Masses on either side of the joint.
    parting : Estimate
        Speed of parting [m/s].

    Returns
    -------
    study : TetherStudy
        Pulls and lips of every case.
    """
    lip = rig.lip
    at_time = next(start for start in starts if start.wind == DAY and start.offset_s == 0.0)
    levels = [level_start(at_time, speed) for speed in SPEEDS_M_S]
    tried = [start for start in starts if start.offset_s in TRIED_S and start.wind == WINDY]
    changes = _other_rigs(rig)
    ends = _spread(rig, at_time, parting)
    pairs = [(rig, start) for start in (*starts, *levels)]
    pairs += [(changed, start) for _, changed, start in ends]
    pairs += [(changed, start) for _, changed, _ in changes for start in tried]
    followed = follow(pairs)
    count, after = len(starts), len(starts) + len(levels)
    cases = tuple(pulled_case(followed, index, lip) for index in range(count))
    nominal = starts.index(at_time)
    names = tuple(f"{rig.cord.name}, {tie}" for tie in TIES)
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
        line_names=(*names, f"lines of {rig.canopy.name}") if rig.canopy else names,
        cases=cases,
        spread=tuple(
            pulled_case(followed, after + index, lip, what) for index, (what, _, _) in enumerate(ends)
        ),
        by_speed=tuple(
            pulled_case(followed, count + index, lip, f"{speed:g} m/s across at apogee")
            for index, speed in enumerate(SPEEDS_M_S)
        ),
        meeting=_meeting(followed, count, nominal),
        lip=lip_words(rig.bay, lip) if lip else "",
        lip_holds_square=lip_holds(lip, SQUARE_RAD) if lip else None,
        lip_tested=bool(rig.bay.lip and rig.bay.lip.pull_test),
        remedies=_remedies(lip, cases, _Trials(followed, after + len(ends), changes, len(tried))),
        notes=_notes(rig, result, at_time.hangs),
    )


def _spread(rig: Rig, start: SeparationStart, parting: Estimate) -> list[tuple[str, Rig, SeparationStart]]:
    """List the ends of what is not known on time: speed of parting, and how the vehicle lies."""
    found: list[tuple[str, Rig, SeparationStart]] = []
    for end in ("low", "high"):
        speed = max(getattr(parting, end), LEAST_PARTING_M_S)
        found.append((f"parting at the {end} end", replace(rig, parting_m_s=speed), start))
    tilts = [(f"axis {word} by 15 deg", sign * TILT_RAD) for word, sign in (("up", 1.0), ("down", -1.0))]
    return [
        *found,
        *((what, rig, replace(start, angle_rad=start.angle_rad + tilt)) for what, tilt in tilts),
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


def _other_rigs(rig: Rig) -> list[tuple[str, Rig, str]]:
    """Change the build in each way that must be followed anew."""
    line = rig.line
    softer = replace(line, stretch_at_break=line.stretch_at_break.scaled(2.0))
    if line.stretch_at_break.value < 0.1:
        softer = replace(line, stretch_at_break=exact(0.25))
    found = [
        (
            f"cord twice as long, {2 * rig.cord_length_m:.0f} m",
            replace(rig, cord_length_m=2 * rig.cord_length_m),
            "",
        ),
        (
            f"softer cord of the same strength, {100 * softer.stretch_at_break.value:.0f} % at break",
            replace(rig, line=softer),
            "",
        ),
        (
            "charge that parts at seven tenths of the speed",
            replace(rig, parting_m_s=0.7 * rig.parting_m_s),
            "",
        ),
    ]
    if rig.canopy is not None:
        drogue = replace(
            rig,
            canopy_area_m2=rig.canopy_area_m2 * DROGUE_SHARE,
            filling_m=rig.filling_m * DROGUE_SHARE**0.5,
        )
        found.append(("a drogue here, the main later in its own bay", drogue, "needs a second event"))
        slider = replace(rig, filling_m=2.0 * rig.filling_m)
        found.append(("main with a slider", slider, "filling twice as long, assumed"))
    return found


@dataclass(frozen=True, slots=True)
class _Trials:
    """Where the changed builds stand in a batch: from ``first`` on, ``each`` cases for every change."""

    followed: Followed
    first: int
    changes: list[tuple[str, Rig, str]]
    each: int


def _remedies(lip: Lip | None, cases: tuple[PulledCase, ...], trials: _Trials) -> tuple[Remedy, ...]:
    """Everything tried, best first; as built stands among them."""
    history = trials.followed.history
    built = [index for index, case in enumerate(cases) if case.wind == WINDY and case.offset_s in TRIED_S]
    prompt = [index for index in built if abs(cases[index].offset_s) <= ON_TIME_S]

    def worst(indices: Sequence[int], on: Lip | None, what: str, note: str = "") -> Remedy:
        margins = [margin_of(history, index, on, "low") for index in indices]
        known = [margin for margin in margins if margin is not None]
        peak = max(float(history.tensions_n[index, :, :2].max()) for index in indices)
        return Remedy(what=what, margin=min(known) if known else None, peak_n=peak, note=note)

    found = [
        worst(built, lip, "as built", "3 s early to 5 s late"),
        worst(
            prompt, lip, "event within a second of its time", "two computers, ports that follow, no lock-out"
        ),
    ]
    for number, (what, _, note) in enumerate(trials.changes):
        start = trials.first + number * trials.each
        found.append(worst(range(start, start + trials.each), lip, what, note))
    if lip is not None:
        stuff = material(RING_STUFF)
        ring = behind_ring(
            lip, Ring(wall_m=RING_WALL_M, edge_radius_m=RING_EDGE_M, strength_pa=stuff.yield_pa)
        )
        wide = replace(lip, cord_width_m=2 * lip.cord_width_m)
        found.append(
            worst(built, ring, "ring in the mouth: 3 mm aluminium, edge rounded to 5 mm", "adds mass")
        )
        found.append(worst(built, wide, f"webbing {2000 * lip.cord_width_m:.0f} mm wide where it bears", ""))
    return tuple(sorted(found, key=lambda one: -(one.margin if one.margin is not None else -one.peak_n)))


def _notes(rig: Rig, result: CordResult, hangs: bool) -> tuple[str, ...]:
    notes: list[str] = []
    if rig.line.width_m is None:
        notes.append(f"Width of {rig.cord.name} not known: {1000 * USUAL_CORD_WIDTH_M:.0f} mm taken.")
    if hangs:
        notes.append(
            "It hangs under an earlier canopy: the three cases take it level, nose up and nose down by 60 "
            "deg, and the event's time does not matter."
        )
    if rig.canopy is None:
        notes.append(f"No canopy comes out at {rig.cord.joint}: the two sides alone are followed.")
    if result.peak_load.high > result.strength.low:
        notes.append(f"{result.name} may part by the closed form alone.")
    return tuple(notes)


def winds() -> tuple[str, str, str]:
    """Flights that every study starts from, the day's first."""
    return DAY, WINDY, CALM
