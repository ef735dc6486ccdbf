"""What each stage of a check hands to the findings, the report and the page."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.fin import FinSet
from finial.aero.table import AirTable
from finial.assemble.strength_stations import StationReserves
from finial.core.estimates import Estimate
from finial.flight.trace import Trace
from finial.mass.properties import MassProperties
from finial.shape.mesh import Mesh
from finial.shape.skin import Skin


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeResult:
    """The outside, without and with fins."""

    skin: Skin
    display_mesh: Mesh
    """Skin and fins in body axes, for pictures."""
    fin_faces: NDArray[np.bool_]
    """(m,) true where a face of ``display_mesh`` belongs to a fin."""
    fins: tuple[FinSet, ...]
    across_m: tuple[float, float]
    """Largest extent along body y and z [m], without fins."""
    repairs: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MassRow:
    """One line of the mass table."""

    name: str
    kind: str
    """``part``, ``item``, ``rod``, ``fin``, ``motor``, ``canopy``, ``cord``."""
    mass: Estimate
    station_m: float
    """Balance point of this row [m]."""
    span_m: tuple[float, float] | None = None
    """Stations it reaches from and to [m]; ``None`` for a point."""

    def share_ahead(self, station_m: float) -> float:
        """Share of the row's mass ahead of a station [-], as if spread evenly over its span."""
        if self.span_m is None or self.span_m[1] <= self.span_m[0]:
            return 1.0 if self.station_m < station_m else 0.0
        fore, aft = self.span_m
        return min(max((station_m - fore) / (aft - fore), 0.0), 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class MassResult:
    """Mass table and totals at lift-off and burnout."""

    rows: tuple[MassRow, ...]
    lift_off: MassProperties
    burnout: MassProperties
    lift_off_mass: Estimate
    lift_off_balance: Estimate
    """Station of the balance point [m], with the spread of every row."""
    burnout_balance: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class BandContribution:
    """One reason why the pressure band has width."""

    name: str
    forward_m: float
    """How far it may move the centre of pressure towards the tip [m]."""
    aft_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DragRow:
    """Drag coefficient from one source, on the vehicle's reference area."""

    name: str
    coefficient: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class FinRow:
    """What one fin set does in the air."""

    name: str
    slope_per_rad: float
    """Smallest normal force slope over roll, on the vehicle's reference area [1/rad]."""
    sheltered: float
    """Share of its area in the dead air behind a step [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Straightness:
    """How far off straight the vehicle coasts, and how it turns about its axis."""

    trim_rad: float | None
    """Angle between axis and flight path at which no moment is left [rad]; ``None``: there is none."""
    trim_roll_rad: float
    """Roll angle the cross wind blows to at that angle [rad]."""
    turns_per_m: float
    """Turns about the axis per metre flown [1/m], from body y towards z."""
    side_force: tuple[float, float]
    """Force coefficients along y and z with the air from ahead [-]."""
    drag_line_m: tuple[float, float]
    """Where the drag acts, off the axis (y, z) [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AirResult:
    """Air loads, the pressure band and the drag build-up."""

    table: AirTable
    angles_rad: NDArray[np.float64]
    """Angles of attack the band is given at [rad], 0 to 30 degrees, shape (a,)."""
    rolls_rad: NDArray[np.float64]
    """Roll angles [rad], shape (r,)."""
    pressure_central_m: NDArray[np.float64]
    """Centre of pressure, station [m], shape (a, r)."""
    pressure_forward_m: NDArray[np.float64]
    """Forward end of the band, shape (a, r)."""
    pressure_aft_m: NDArray[np.float64]
    bare_central_m: NDArray[np.float64]
    """The same without fins, shape (a, r)."""
    bare_forward_m: NDArray[np.float64]
    bare_aft_m: NDArray[np.float64]
    contributions: tuple[BandContribution, ...]
    slope_per_rad: Estimate
    """Normal force slope at small angle, with fins, worst roll [1/rad]."""
    bare_slope_per_rad: Estimate
    load_stations_m: NDArray[np.float64]
    load_per_m: NDArray[np.float64]
    """d(normal force coefficient)/(d alpha d station) along the body, bare [1/(rad m)]."""
    drag_rows: tuple[DragRow, ...]
    base_burning: Estimate | None
    """Drag coefficient of the base while the motor burns, in place of the last of the rows [-]."""
    drag_mach: float
    """Mach number and Reynolds number the drag rows are given at."""
    drag_reynolds_per_m: float
    pitch_damping_per_rad: float
    fin_rows: tuple[FinRow, ...] = ()
    straightness: Straightness | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StabilityPoint:
    """Margin at one moment of the flight, judged at the bad end and the worst roll angle."""

    moment: str
    """``rail exit``, ``max speed``, ``burnout``."""
    time_s: float
    speed_m_s: float
    alpha_rad: float
    """Angle of attack it is judged at [rad]: the largest between 0 and this."""
    balance: Estimate
    pressure: Estimate
    """Pressure band at the worst roll angle: low is the forward, bad, end [m]."""
    worst_roll_rad: float
    margin: Estimate
    """Pressure minus balance station [m]; low is the bad end."""
    width_m: float
    length_m: float
    bare_margin: Estimate
    """The same without fins."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCaseResult:
    """Loads along the body in one case, and the reserve of walls, rods and joints."""

    case: str
    stations_m: NDArray[np.float64]
    axial_n: NDArray[np.float64]
    """Compression positive [N]."""
    shear_n: NDArray[np.float64]
    bending_n_m: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReserveRow:
    """Reserve factor of one failure mode: strength over load; 1 just holds."""

    what: str
    case: str
    station_m: float
    load: str
    """Load and strength in words."""
    reserve: Estimate | None
    rod_share: float | None
    """Share of the load carried by the rods [-]."""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatRow:
    """How warm a printed part gets in the sun, and when its plastic softens."""

    part: str
    surface_k: Estimate
    softens_k: Estimate
    margin_k: Estimate
    """What is left to the flag, which stands 10 K below softening [K]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthResult:
    """All load cases and reserves, worst first, and the heat of the day."""

    cases: tuple[LoadCaseResult, ...]
    reserves: tuple[ReserveRow, ...]
    heat: tuple[HeatRow, ...] = ()
    by_station: StationReserves | None = None
    """Worst reserve of walls, rods and joints along the body."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CanopyOpening:
    """How high a canopy stands open, over the nominal flight and its corners."""

    canopy: str
    height_agl: Estimate | None
    """Height above ground [m]; ``None`` when in one of the flights it was not open before the ground."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightResult:
    """The nominal flight, and the numbers that are judged."""

    trace: Trace
    lift_off_mass_kg: float
    motor_name: str
    impulse_n_s: float
    motor_letter: str
    average_thrust_n: float
    thrust_to_weight: Estimate
    rail_exit_speed: Estimate
    rail_exit_alpha_rad: float
    apogee_agl: Estimate
    max_speed: Estimate
    max_mach: float
    max_acceleration_m_s2: float
    max_dynamic_pressure_pa: float
    flight_time_s: float
    landing_east_m: float
    landing_north_m: float
    drift: Estimate
    """Distance from pad to landing point [m]."""
    openings: tuple[CanopyOpening, ...] = ()
    """Every canopy of the sheet, in its order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CanopyResult:
    """One canopy: how it comes down and how hard it opens."""

    name: str
    drag_area: Estimate
    descent_speed: Estimate
    opening_speed_m_s: float
    opening_load: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeResult:
    """One charge: what it makes in its bay and what the bay needs."""

    name: str
    bay: str
    powder: Estimate | None
    needed_powder: Estimate
    pressure: Estimate | None
    force_on_joint: Estimate | None
    pins_hold: Estimate | None
    """Force that breaks the pins [N]; ``None`` without pins."""
    resistance: Estimate
    """What the charge must overcome: pins and friction of the joint [N]."""
    early_load: Estimate
    """What pulls at the joint before the charge: drag, another canopy's opening, trapped air [N]."""
    backup_of: str = ""
    """Charge that this one stands in for; empty for a first charge."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CordResult:
    """One cord: peak load against what its knots leave of it."""

    name: str
    peak_load: Estimate
    strength: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class LandingRow:
    """Energy of one piece at the ground: by its fall alone, and with the wind."""

    what: str
    mass_kg: float
    fall: Estimate
    with_wind: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class PackStudy:
    """One bay: what lies in it, and whether it can leave."""

    bay: str
    contents_kg: float
    density: Estimate
    fit: str
    """How it lies, in words."""
    comes_out: bool
    """False when it is pressed, or must squeeze through the mouth."""
    room_m: float
    """Length the bay would need for a pack made by hand [m]."""
    length_m: float
    doubts: tuple[str, ...]
    """What may keep it in, in words."""
    friction: Estimate | None = None
    """Force that holds it in [N]; ``None`` if nothing in it has mass."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlyOpening:
    """A canopy told to open at a height that the flight never reaches: it opens at the top."""

    canopy: str
    height_m: float
    top_m: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class RecoveryResult:
    """Everything between apogee and the ground."""

    canopies: tuple[CanopyResult, ...]
    charges: tuple[ChargeResult, ...]
    cords: tuple[CordResult, ...]
    landing_speed: Estimate | None
    landing_energy: Estimate | None
    descent_mass_kg: float
    ground_speed: Estimate | None = None
    """Speed over the ground at touchdown, falling and carried by the wind [m/s]."""
    landings: tuple[LandingRow, ...] = ()
    packs: tuple[PackStudy, ...] = ()
    """What lies in each bay that has a canopy."""
    early: tuple[EarlyOpening, ...] = ()
    unopened: tuple[str, ...] = ()
    """Joints with pins that no charge breaks."""
    tumbling_speed: Estimate | None = None
    """Steady fall of the parted pieces before any canopy [m/s]; ``None`` where one opens at the top."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FiringPath:
    """From battery to canopy: what fires what, with what current."""

    canopy: str
    igniter: str
    computer: str
    battery: str
    switch: str
    current: Estimate
    all_fire_a: float | None
    """``None`` where the sheet does not give it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ElectronicsResult:
    """Firing paths, pad time and what would fail alone."""

    paths: tuple[FiringPath, ...]
    pad_times: tuple[tuple[str, Estimate | None], ...]
    """Battery name and time it lasts on the pad [s]; ``None`` where the sheet lacks a number."""
    single_points: tuple[str, ...]
    """Each: what fails alone and which canopy it loses."""
    off_event: tuple[str, ...] = ()
    """Canopies that have a firing path, but none at the event they are meant for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayResult:
    """The day and the pad that everything was computed for."""

    site: str
    ground_asl_m: float
    wind: Estimate
    """At 10 m above the ground [m/s]."""
    wind_from_rad: float
    rail_length_m: float
    rail_tilt_rad: float
    rail_toward_rad: float
    temperature: Estimate
    pressure_pa: float
    density_altitude_m: float
    """Height at which the standard atmosphere is as thin as the air at the pad [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeResult:
    """Distance, wind, tilt, ceiling and class, from the chosen code's tables."""

    code: str
    edition: str
    source: str
    impulse_n_s: float
    minimum_distance_m: float
    field_minimum_m: float | None
    faa_class: str
    wind_limit_m_s: float
    tilt_limit_rad: float
    ceiling_agl_m: float | None
    field_radius_m: float | None = None
    """Distance from the pad to the field's edge [m]."""
    day: DayResult | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """A guess, and how far the verdict's worst margin moves over its interval."""

    what: str
    interval: str
    effect: str
    """What it moves, in words and numbers."""
    advice: str
    weight: float
    """For ranking: movement of the margin over the margin itself [-]."""
