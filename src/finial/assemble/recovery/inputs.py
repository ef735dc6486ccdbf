"""What the recovery's parts are computed from: moments of the flight, masses either side of a joint."""

from dataclasses import dataclass

from finial.assemble.mass.results import MassResult
from finial.core.estimates import Estimate, exact, total


@dataclass(frozen=True, slots=True, kw_only=True)
class EventStates:
    """What the flight tells the recovery: air and speeds where things happen."""

    ground_density_kg_m3: Estimate
    ground_pressure_pa: float
    out_density_kg_m3: dict[str, Estimate]
    """Air density where each canopy comes out, by canopy name."""
    out_pressure_pa: dict[str, float]
    out_speed_m_s: dict[str, Estimate]
    """Airspeed when each canopy comes out, from the flight and the slack in its timing."""
    drag_ahead_n: dict[str, Estimate]
    """Drag of everything ahead of each joint just after burnout [N], by joint name."""
    drag_behind_n: dict[str, Estimate]
    top_climb_m_s: float
    top_pressure_pa: float
    ground_temperature_k: float
    wind_m_s: Estimate
    """Wind at 10 m, about where the canopy hangs when the vehicle touches down [m/s]."""
    out_time_s: dict[str, float]
    """When each canopy comes out; infinite if it never does."""
    top_agl_m: Estimate
    """Apogee over the nominal flight and its corners [m]."""
    parted_area_m2: Estimate | None
    """Drag area of the parted pieces; ``None`` where a canopy comes out at the top."""


def split_masses(mass: MassResult, station_m: float, *, burnt: bool) -> tuple[Estimate, Estimate]:
    """Mass ahead of and behind a station [kg], each row spread over its own span."""
    ahead = [(row, row.share_ahead(station_m)) for row in mass.rows]
    fore = total(row.mass.scaled(share) for row, share in ahead)
    aft = total(row.mass.scaled(1.0 - share) for row, share in ahead)
    if not burnt:
        return fore, aft
    propellant = mass.lift_off.mass_kg - mass.burnout.mass_kg
    return fore, total([aft, exact(-propellant)])


def named(records, name: str):
    """First record of that name; the sheet's reader has made sure that there is one."""
    return next(record for record in records if record.name == name)
