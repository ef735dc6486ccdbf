"""One separation as pieces on lines: from the sheet, the two sides of a joint and a start."""

import math
from dataclasses import dataclass, replace

import numpy as np

from finial.assemble.recovery.halves import Side
from finial.assemble.recovery.lines import sheet_cord
from finial.assemble.recovery.start import SeparationStart
from finial.assemble.vehicle.canopies import drag_area, nominal, reefed_kind
from finial.files.sheet_recovery import BayEntry, CanopyEntry, CordEntry
from finial.recovery.cords.kinds import Cord
from finial.recovery.cords.zipper import Lip
from finial.recovery.tether.run import loss_for_rebound
from finial.recovery.tether.scene import Filling, Mouth, Piece, Scene, TetherLine, TetherStart, Tie

LINES_OVER_DIAMETER = 1.15
"""Length of a canopy's lines over its nominal diameter, where the sheet does not say [-]; common practice."""
LINK_KG = 0.03
"""Quick link and knots where the canopy is tied [kg]; assumed."""
USUAL_CORD_KG_M = 0.02
"""Mass of a cord that nobody weighed [kg/m]; assumed."""
FORE, AFT, LINK, CANOPY = range(4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rig:
    """Everything of a separation but its start."""

    fore: Side
    aft: Side
    joint_m: float
    """Station of the joint [m]."""
    bay: BayEntry
    cord: CordEntry
    line: Cord
    canopy: CanopyEntry | None
    parting_m_s: float
    cord_length_m: float
    lip: Lip | None = None
    """Lip of the bay's mouth; ``None`` where the sheet says too little of it."""
    canopy_area_m2: float = 0.0
    filling_m: float = 1.0

    @property
    def bay_is_aft(self) -> bool:
        """Whether the bay's tube belongs to the aft side."""
        return (self.bay.stations[0].value + self.bay.stations[1].value) / 2 >= self.joint_m


def rig_of(
    sides: tuple[Side, Side],
    joint_m: float,
    hardware: tuple[BayEntry, CordEntry, CanopyEntry | None],
    parting_m_s: float,
) -> Rig:
    """Rig of a joint as the sheet has it."""
    bay, cord, canopy = hardware
    filling = nominal(canopy).value * reefed_kind(canopy).fill_constant.value if canopy else 1.0
    return Rig(
        fore=sides[0],
        aft=sides[1],
        joint_m=joint_m,
        bay=bay,
        cord=cord,
        line=sheet_cord(cord),
        canopy=canopy,
        parting_m_s=parting_m_s,
        cord_length_m=cord.length.value,
        canopy_area_m2=drag_area(canopy).value if canopy else 0.0,
        filling_m=filling,
    )


def scene_of(rig: Rig, opening: SeparationStart) -> tuple[Scene, TetherStart]:
    """Pieces, lines and start of one case."""
    per_m = rig.line.mass_kg_per_m or USUAL_CORD_KG_M
    link = Piece(name="link", mass_kg=LINK_KG + per_m * rig.cord_length_m / 2)
    pieces = [rig.fore.piece, rig.aft.piece, link]
    lines = _cord_lines(rig)
    fillings: tuple[Filling, ...] = ()
    if rig.canopy is not None:
        pieces.append(Piece(name=rig.canopy.name, mass_kg=rig.canopy.mass.value))
        lines.append(_canopy_lines(rig, rig.canopy))
        fillings = (
            Filling(
                piece=CANOPY,
                line=2,
                bundle_area_m2=math.pi / 4 * rig.bay.diameter.value**2,
                full_area_m2=rig.canopy_area_m2,
                distance_m=rig.filling_m,
                growth_exponent=reefed_kind(rig.canopy).growth_exponent,
            ),
        )
    scene = Scene(
        pieces=tuple(pieces), lines=tuple(lines), fillings=fillings, density_kg_m3=opening.density_kg_m3
    )
    return scene, launch_of(rig, opening, len(pieces))


def _cord_lines(rig: Rig) -> list[TetherLine]:
    """Make both parts of the cord: from the tube's closed end past its mouth, and from the other side."""
    aft_bay = rig.bay_is_aft
    tube, other = (rig.aft, rig.fore) if aft_bay else (rig.fore, rig.aft)
    tube_index, other_index = (AFT, FORE) if aft_bay else (FORE, AFT)
    closed = max if aft_bay else min
    anchor = closed(station.value for station in rig.bay.stations)
    fore_part = rig.cord_length_m * min(max(rig.cord.canopy_at.value, 0.02), 0.98)
    aft_part = rig.cord_length_m - fore_part
    mouth = Mouth(along_m=tube.along(rig.joint_m), radius_m=rig.bay.diameter.value / 2, towards_fore=aft_bay)
    stiff = rig.line.breaking_load_n.value / rig.line.stretch_at_break.value
    loss = loss_for_rebound(rig.line.rebound)
    tube_line = TetherLine(
        name="cord, from the bay",
        first=Tie(piece=tube_index, along_m=tube.along(anchor)),
        second=Tie(piece=LINK),
        length_m=aft_part if aft_bay else fore_part,
        load_per_stretch_n=stiff,
        loss=loss,
        mouth=mouth,
    )
    other_line = replace(
        tube_line,
        name="cord, from the other side",
        first=Tie(piece=other_index, along_m=other.along(rig.joint_m)),
        length_m=fore_part if aft_bay else aft_part,
        mouth=None,
    )
    return [tube_line, other_line]


def _canopy_lines(rig: Rig, canopy: CanopyEntry) -> TetherLine:
    """Lines of the canopy, as stiff for their length as the cord: nobody knows better."""
    usual = LINES_OVER_DIAMETER * nominal(canopy).value
    return TetherLine(
        name=f"lines of {canopy.name}",
        first=Tie(piece=LINK),
        second=Tie(piece=CANOPY),
        length_m=canopy.line_length.value if canopy.line_length else usual,
        load_per_stretch_n=rig.line.breaking_load_n.value / rig.line.stretch_at_break.value,
        loss=loss_for_rebound(rig.line.rebound),
    )


def launch_of(rig: Rig, opening: SeparationStart, count: int) -> TetherStart:
    """Two sides that part along their common axis; what was packed stays with the tube."""
    fore, aft = rig.fore, rig.aft
    axis = np.array([math.cos(opening.angle_rad), math.sin(opening.angle_rad)])
    left = np.array([-axis[1], axis[0]])
    whole = fore.piece.mass_kg + aft.piece.mass_kg
    centre = (fore.piece.mass_kg * fore.station_m + aft.piece.mass_kg * aft.station_m) / whole
    stations = [fore.station_m, aft.station_m] + [rig.joint_m] * (count - 2)
    common = np.array([opening.along_m_s, opening.up_m_s])
    parting = {
        FORE: rig.parting_m_s * aft.piece.mass_kg / whole,
        AFT: -rig.parting_m_s * fore.piece.mass_kg / whole,
    }
    packed = parting[AFT if rig.bay_is_aft else FORE]
    speeds = [
        common + axis * parting.get(index, packed) + left * opening.rate_rad_s * (centre - station)
        for index, station in enumerate(stations)
    ]
    return TetherStart(
        places_m=np.array([axis * (centre - station) for station in stations]),
        angles_rad=np.full(count, opening.angle_rad),
        speeds_m_s=np.array(speeds),
        rates_rad_s=np.array([opening.rate_rad_s] * 2 + [0.0] * (count - 2)),
    )
