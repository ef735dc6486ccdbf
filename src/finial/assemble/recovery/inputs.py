"""What the recovery's parts are computed from: moments of the flight, masses either side of a joint."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol, TypeVar

from finial.core.estimates import Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """Masses on either side of a joint, propellant gone [kg]."""

    fore_kg: Estimate
    aft_kg: Estimate

    @property
    def moved_kg(self) -> float:
        """Reduced mass of the two [kg]: what a push between them moves."""
        return self.fore_kg.value * self.aft_kg.value / (self.fore_kg.value + self.aft_kg.value)


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
    apart: dict[str, Apart]
    """Masses either side of each joint, by joint name."""
    pieces_kg: tuple[Estimate, ...]
    """Masses between all joints, fore to aft [kg]."""
    drag_ahead_n: dict[str, Estimate]
    """Drag of everything ahead of each joint just after burnout [N], by joint name."""
    drag_behind_n: dict[str, Estimate]
    last_thrust_n: float
    """Thrust that falls away at the end of the burn [N]."""
    rebound: Estimate
    """Share of it that swings back [-]."""
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


class Named(Protocol):
    """A record that others of the sheet refer to."""

    @property
    def name(self) -> str:
        """The name it is referred to by."""
        ...


NamedRecord = TypeVar("NamedRecord", bound=Named)


def named(records: Iterable[NamedRecord], name: str) -> NamedRecord:
    """First record of that name; the sheet's reader has made sure that there is one."""
    return next(record for record in records if record.name == name)
