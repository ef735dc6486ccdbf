"""Air loads, pressure band and drag rows."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from finial.aero.band.contribution import Contribution
from finial.aero.drag.sources import DragSource
from finial.aero.table.record import AirTable
from finial.core.estimates import Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class FinRow:
    """What one fin set does in the air."""

    name: str
    slope_per_rad: float
    """Largest normal force slope over roll, on the vehicle's reference area [1/rad]."""
    sheltered: float
    """Share of its area in the dead air behind a step [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Straightness:
    """How far off straight the vehicle coasts, and how it turns about its axis."""

    trim_rad: float | None
    """Angle between axis and flight path at which no moment is left [rad]; ``None``: there is none."""
    holds_rad: float
    """Smallest angle from which on the air turns the tip back, at the worst roll [rad]; pi for none."""
    trim_roll_rad: float
    """Roll angle the cross wind blows to at that angle [rad]."""
    turns_per_m: float
    """Turns about the axis per metre flown [1/m], from body y towards z."""
    side_force: tuple[float, float]
    """Force coefficients along y and z with the air from ahead [-]."""
    drag_line_m: tuple[float, float]
    """Where the drag acts, off the axis (y, z) [m]."""


class StudyState(StrEnum):
    """Whether a study of the tunnel that the sheet names speaks for the vehicle."""

    HOLDS = "holds"
    OTHER_SHAPE = "other shape"
    """None of its runs is of this very shape."""
    TOO_FEW = "too few"
    """Its runs of this shape make no table: one grid alone, no angle, rolls missing, or no clear force."""
    BESIDE = "beside"
    """Its runs are of this very shape and lie beside the sheet, which names them not: none flies so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TunnelRow:
    """What the tunnel and the sections say at one angle and roll; coefficients on the vehicle's area."""

    angle_rad: float
    roll_rad: float
    force: Estimate
    """Along the cross wind, corrected for blockage [-]."""
    place: Estimate | None
    """Station of the centre of pressure [m]; ``None`` where the force is not told from nothing."""
    axial: Estimate
    """Pressure and friction, corrected for blockage [-]."""
    aside: Estimate
    """Force across the cross wind; nothing but chance on a shape alike on both sides [-]."""
    pressure_axial: float
    """Pressure part as the tunnel read it, not corrected [-]."""
    force_read: float
    """Force as the tunnel read it, not corrected [-]."""
    section_share: float
    """Reference area over the section of the tunnel [-]."""
    reynolds: float
    cells: float
    coarse_cells: float
    restarts: int
    sections_force: float
    sections_axial: float
    sections_place_m: tuple[float, float, float] | None
    """Forward end, middle and aft end; ``None`` at no angle, and beyond the band's last [m]."""
    parts_most_m: tuple[float, float] | None = None
    """Stretch of the body whose loads move the centres apart most [m]."""

    @property
    def meets(self) -> bool:
        """Whether the tunnel's interval and the sections' band have a place in common."""
        if self.place is None or self.sections_place_m is None:
            return True
        return self.place.low <= self.sections_place_m[2] and self.sections_place_m[0] <= self.place.high


@dataclass(frozen=True, slots=True, kw_only=True)
class TunnelBeside:
    """The study of the tunnel that the sheet names, beside the sections."""

    state: StudyState
    rows: tuple[TunnelRow, ...] = ()
    finned: bool = False
    """It has fins, whose force the lattice does not settle: its study widens the sections, no more."""
    left_out: int = 0
    """Angles and rolls that lack a second grid, or whose force is not told from nothing."""
    friction: Estimate | None = None
    """Flat-plate friction and small parts that the tunnel does not see, as the sections have them [-]."""
    flight_reynolds: float = 0.0
    """On the width, at the speed that the drag rows are given at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnBeside:
    """Numbers of the builder's own that the vehicle flies with, beside the computed ones they go before."""

    table: str
    """Table of the sheet that tells them: ``air``, ``flown``."""
    drag_ratio: float
    """Own drag over the computed, along the axis with the motor out [-]."""
    drag_within: tuple[float, float]
    """Ends of the computed drag over its middle [-]."""
    place_m: Estimate
    """Own centre of pressure at a small angle, at the roll where it lies farthest from the computed [m]."""
    computed_place_m: Estimate
    """The computed one at that roll [m]."""


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
    contributions: tuple[Contribution, ...]
    slope_per_rad: Estimate
    """Normal force slope at small angle, with fins, worst roll [1/rad]."""
    bare_slope_per_rad: Estimate
    load_stations_m: NDArray[np.float64]
    load_per_m: NDArray[np.float64]
    """d(normal force coefficient)/(d alpha d station) along the body, bare [1/(rad m)]."""
    drag_rows: tuple[DragSource, ...]
    base_burning: Estimate | None
    """Drag coefficient of the base while the motor burns, in place of the last of the rows [-]."""
    drag_mach: float
    """Mach number and Reynolds number the drag rows are given at."""
    drag_reynolds_per_m: float
    pitch_damping_per_rad: float
    fin_rows: tuple[FinRow, ...] = ()
    fins_slope_per_rad: float = 0.0
    """Smallest normal force slope over roll of all fins together [1/rad]: 0 where they stand in one plane."""
    straightness: Straightness | None = None
    source: str = ""
    """What the loads of the whole vehicle were taken from; empty where they are those of the sections."""
    tunnel: TunnelBeside | None = None
    """The study that the sheet names; ``None`` where it names none."""
    own: tuple[OwnBeside, ...] = ()
    """What a table or logs of the builder's say, each beside what it goes before."""
