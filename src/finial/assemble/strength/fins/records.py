"""What the long look at the fins found."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.estimates import Estimate
from finial.structure.fins.root import RootHold
from finial.structure.fins.stays import StayPair


@dataclass(frozen=True, slots=True, kw_only=True)
class FinHeld:
    """A fin as it is held, with its stays or without: how it swings, bends and when it runs away."""

    frequencies_hz: NDArray[np.float64]
    twists: tuple[bool, ...]
    """For each frequency, whether the fin twists in it more than it bends."""
    flutter: Estimate | None
    """Speed at the pad's density at which swings grow [m/s]; ``None`` below Mach 0.9 nothing grows."""
    flutter_hz: float
    """0 where it twists away without swinging."""
    flutter_all_alike: Estimate | None
    """The same when all fins swing the same way round, where wires between fins hold nothing."""
    divergence_m_s: float
    """Speed at which it twists away at rest [m/s]; infinite where it does not."""
    lift_ratio: float
    """Lift left of a stiff fin's at top speed [-]; ``nan`` past divergence."""
    centre_shift_m: float
    """How far aft the lift's centre moves by bending and twisting [m]."""
    tip_shift_m: float
    tip_twist_rad: float
    stress: Estimate | None
    """Largest stress under the largest load [Pa]; ``None`` past divergence."""
    stress_at_m: tuple[float, float]
    root_moment_n_m: float
    """Moment of the largest load about the root [N m]; ``nan`` past divergence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FinModePicture:
    """Modes on a mesh: corners (n, 2) [m], triangles (m, 3), deflections (n, modes), largest 1."""

    corners_m: NDArray[np.float64]
    triangles: NDArray[np.int64]
    deflections: NDArray[np.float64]
    frequencies_hz: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class FinFlutterPicture:
    """The motion that begins to grow at the flutter speed, of the fin between its soft and its stiff end."""

    speed_m_s: float
    frequency_hz: float
    """0 where it twists away without swinging."""
    deflections: NDArray[np.float64]
    """At the corners of the modes' mesh (n, 2): the largest farthest out, 1, and a quarter before [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FinSweep:
    """Frequency [Hz] and damping over critical [-] of each mode over speed, (v, m)."""

    speeds_m_s: NDArray[np.float64]
    frequencies_hz: NDArray[np.float64]
    damping: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class FinEnvelope:
    """Flutter speed and flown speed over height, (h,)."""

    heights_agl_m: NDArray[np.float64]
    flutter_m_s: NDArray[np.float64]
    """Infinite where nothing grows below Mach 0.9."""
    flown_m_s: NDArray[np.float64]
    """Fastest the flight is at that height [m/s]; ``nan`` above apogee."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StayStudy:
    """One pair of stays of each fin in the largest load."""

    pair: StayPair
    stiffness_n_per_m: float
    """Across the fin in a gust, with what the wires are anchored to [N/m]."""
    shift: Estimate
    """Of the tied point under the load [m]."""
    slack_at: Estimate
    """Shift at which a wire slackens [m]."""
    slack_reserve: Estimate | None
    """One over the other [-]."""
    preload_n: Estimate
    """Tension at rest over the day, from cold to hot [N]."""
    tight_n: Estimate
    """Tension of the tighter wire [N]."""
    strength_n: Estimate
    """Breaking load of a wire with its fittings [N]."""
    inward_n: float
    """Pull of both wires along the fin to the body [N]."""
    bowing_n: Estimate
    """Pull at which the fin would bow out [N]."""
    anchor_holds_n: Estimate | None
    drag_n: float
    """Of all wires of the set at top speed [N]."""
    crosses_body_at_m: float | None
    """Station where a wire would pass through the body [m]; ``None`` where it is clear."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StayProposal:
    """Stays that would bring the fin to the wanted flutter speed, worked out in the plate itself."""

    pair: StayPair
    backing_m: float
    """Thickness of a plate behind the wall under each anchor [m]: the bare wall would give."""
    backing_of: str
    wanted_m_s: float
    after: FinHeld
    reaches: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FinStudy:
    """One set of fins."""

    name: str
    station_m: float
    hold: RootHold
    """How the root is held."""
    drawn_in: str
    """Part whose mesh it is drawn in; empty for fins of the sheet."""
    thickness: Estimate
    """At the root [m]."""
    material: str
    top_speed: Estimate
    """Largest airspeed of the flight and its corners [m/s]."""
    screen: Estimate
    """Flutter speed by the screen [m/s]."""
    strength: Estimate
    """Yield strength of the fin [Pa]."""
    pressed_pa: float
    """Mean pressure of the largest load over the fin [Pa]."""
    held: FinHeld
    """As the sheet has it."""
    bare: FinHeld | None
    """Without its stays; ``None`` where it has none."""
    stays: tuple[StayStudy, ...]
    proposal: StayProposal | None
    modes: FinModePicture
    growing: FinFlutterPicture | None
    """``None`` where nothing grows below Mach 0.9."""
    sweep: FinSweep
    envelope: FinEnvelope
    outline_m: NDArray[np.float64]
    root_glue: tuple[Estimate, Estimate] | None
    """Stress in the root's glue and its strength [Pa]; ``None`` where the sheet names no glue or depth."""
