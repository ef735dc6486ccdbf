"""The air at one set of holes in a vehicle's skin: what a barometer behind them reads."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.outline_pressure import clear_of_ledges, outline_pressure
from finial.aero.steps.ledges import Face
from finial.assemble.air.tunnel_shape import shape_hash
from finial.assemble.day import day_at_pad
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.atmosphere.day import Day, air_over_pad
from finial.core.estimates import Estimate, KnownBy
from finial.core.frames import evenly_round
from finial.core.kept_parts import kept
from finial.electronics.sensing import height_read, unevenness, wind_across
from finial.files.sheet_recovery import PortEntry
from finial.files.tunnel_runs import TunnelRun
from finial.flight.trace import Trace
from finial.recovery.charges.ports import Climb, lag_height, port_lag
from finial.shape.skin import Skin

Flows = Sequence[tuple[float, float]]
"""Pressure coefficients in straight flow and in the wind across [-]."""
DOUBT_SHARE, DOUBT_LEAST = 0.5, 0.05
"""Doubt about a pressure coefficient on a smooth side: half of it, and a twentieth; a judgement."""
SPOILT = (-0.8, 0.4)
"""Pressure coefficients that a place on or behind a ledge may have [-]; from memory of steps and bases."""


def holes_area(port: PortEntry) -> Estimate:
    """Area of all holes of a port together [m^2]."""
    low, value, high = (
        sum(math.pi / 4 * getattr(hole, end) ** 2 for hole in port.holes) for end in ("low", "value", "high")
    )
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.MEASURED, method="holes together")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AtPort:
    """The air at one set of holes; equal only to itself."""

    day: Day
    clear: float
    coefficient: Estimate
    """In straight flow [-]."""
    from_tunnel: bool
    """Whether it was read off the surface in the tunnel, and not worked out from the sections."""
    uneven: float
    across: tuple[float, float]
    """Of a crosswind, least and largest [-]."""
    lag_at_one: float
    """Lag in air of 1 kg/m^3 at 1 m/s [Pa]; it grows with the square of the climb, and the density."""

    @classmethod
    def of(cls, vehicle: LoadedVehicle, port: PortEntry) -> "AtPort":
        """Work out what a vehicle's shape does to one set of holes."""
        at = min(port.station.value, float(vehicle.skin.stations_m[-1]))
        blown, faces = tunnel_pressure(vehicle, at), vehicle.body.outside.faces
        return _at_port(day_at_pad(vehicle), vehicle.skin, faces, port, blown)

    @property
    def flows(self) -> Flows:
        """Coefficients in straight flow and across [-]: the middle, then both ends."""
        flow, (low, high) = self.coefficient, self.across
        return (flow.value, (low + high) / 2), (flow.low, low), (flow.high, high)

    def densities(self, heights_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """Density of the day's air at heights above the pad [kg/m^3]."""
        return _densities(self.day, heights_m)

    def densities_up(self, trace: Trace) -> NDArray[np.float64]:
        """Density of the day's air at every row of a flight until the top, shape (rows,) [kg/m^3]."""
        return _densities_up(self.day, trace)

    def lag_m(self, trace: Trace) -> float:
        """Lag at the fastest climb, as a height [m]."""
        fastest = int(np.argmax(trace.velocities_m_s[: _rows_up(trace), 2]))
        density = float(self.densities_up(trace)[fastest])
        climb = max(float(trace.velocities_m_s[fastest, 2]), 0.0)
        return lag_height(self.lag_at_one * density * climb**2, density)

    def shown_in_doubt_m(self, trace: Trace) -> tuple[NDArray[np.float64], ...]:
        """Say what a barometer shows on the way up in each of the ``flows``, the middle first [m]."""
        return _shown_in_doubt_m(self, trace)

    def shown_m(self, trace: Trace, flows: Flows) -> list[NDArray[np.float64]]:
        """Say what a barometer in the bay shows on the way up.

        Parameters
        ----------
        trace : Trace
            One flight.
        flows : sequence of (float, float)
            Pairs of pressure coefficients, in straight flow and in the wind across [-].

        Returns
        -------
        heights_m : list of ndarray, shape (rows until the top,)
            Heights shown [m], one for each pair.

        Notes
        -----
        Holds as :func:`~finial.electronics.sensing.height_read` does, for bays whose lag is small.

        References
        ----------
        .. [1] As :func:`~finial.electronics.sensing.height_read`.
        """
        up = slice(0, _rows_up(trace))
        heights, climbs = trace.positions_m[up, 2], trace.velocities_m_s[up, 2]
        pressures, sines = trace.dynamic_pressures_pa[up], np.sin(trace.alphas_rad[up]) ** 2
        densities = self.densities_up(trace)
        lag = self.lag_at_one * densities * climbs * np.abs(climbs)
        pushed = (pressures * (straight * (1.0 - sines) + across * sines) for straight, across in flows)
        return [height_read(heights, push + lag, densities) for push in pushed]


# No slider moves day, skin or holes.
@kept(16)
def _at_port(
    day: Day, skin: Skin, faces: tuple[Face, ...], port: PortEntry, blown: Estimate | None
) -> AtPort:
    at = min(port.station.value, float(skin.stations_m[-1]))
    clear = clear_of_ledges(faces, at)
    uneven = unevenness([hole.value for hole in port.holes], _angles(port))
    climb = Climb(
        volume_m3=port.bay_volume.high,
        port_area_m2=holes_area(port).low,
        climb_m_s=1.0,
        density_kg_m3=1.0,
        temperature_k=day.temperature_k,
    )
    return AtPort(
        day=day,
        clear=clear,
        coefficient=blown or _doubted(outline_pressure(skin.stations_m, skin.areas_m2, at), clear),
        from_tunnel=blown is not None,
        uneven=uneven,
        across=wind_across(uneven),
        lag_at_one=port_lag(climb),
    )


# The same flights are asked about by every computer, for a fall too early and for the top.
@kept(32)
def _shown_in_doubt_m(air: AtPort, trace: Trace) -> tuple[NDArray[np.float64], ...]:
    return tuple(air.shown_m(trace, air.flows))


# How late a barometer is and what it shows are two questions about one way up.
@kept(32)
def _densities_up(day: Day, trace: Trace) -> NDArray[np.float64]:
    return _densities(day, trace.positions_m[: _rows_up(trace), 2])


def _rows_up(trace: Trace) -> int:
    return int(np.argmax(trace.positions_m[:, 2])) + 1


def _densities(day: Day, heights_m: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(air_over_pad(day, np.maximum(heights_m, 0.0)).density_kg_m3, dtype=float)


def _angles(port: PortEntry) -> list[float]:
    if port.at is not None:
        return [angle.value for angle in port.at]
    return list(evenly_round(len(port.holes)))


def tunnel_pressure(vehicle: LoadedVehicle, station_m: float) -> Estimate | None:
    """Read the pressure round a station off the kept study of this very shape, in straight flow.

    Parameters
    ----------
    vehicle : LoadedVehicle
        With the runs that its sheet names, if it names any.
    station_m : float
        Station of the holes [m].

    Returns
    -------
    coefficient : Estimate or None
        Mean over the slice, from the least to the largest of it and of its neighbours, a twentieth at
        least [-]; ``None`` without a straight run of this shape whose surface was kept.

    Notes
    -----
    Range: as the run; not corrected for the tunnel's walls, which take some per cent. Where fins stand beside
    the holes their sides widen it.

    References
    ----------
    .. [1] :func:`~finial.tunnel.reading.pressure_round`.
    """
    straight = [run for run in vehicle.files.tunnel_runs if run.angle_rad == 0.0 and run.surface]
    if not straight:
        return None
    shape = shape_hash(vehicle)
    mine = [run for run in straight if run.shape == shape]
    finest = max(mine, key=lambda run: (run.cells, run.key), default=None)
    return None if finest is None else _round_at(finest, station_m)


def _round_at(run: TunnelRun, station_m: float) -> Estimate | None:
    at = int(np.searchsorted(run.stations_m, station_m, side="right")) - 1
    at = min(max(at, 0), len(run.surface) - 1)
    own, beside = run.surface[at], [one for one in run.surface[max(at - 1, 0) : at + 2] if one is not None]
    if own is None:
        return None
    return Estimate(
        value=own[0],
        low=min(own[0] - DOUBT_LEAST, *(one[1] for one in beside)),
        high=max(own[0] + DOUBT_LEAST, *(one[2] for one in beside)),
        known_by=KnownBy.COMPUTED,
        method="surface in the tunnel, this slice and its neighbours",
    )


def _doubted(found: float, clear: float) -> Estimate:
    """Give a computed coefficient its doubt: on or near a ledge anything that such places have."""
    doubt = DOUBT_LEAST + DOUBT_SHARE * abs(found)
    low, high = found - doubt, found + doubt
    if clear < 1.0:
        low, high = min(low, SPOILT[0]), max(high, SPOILT[1])
    return Estimate(
        value=found,
        low=low,
        high=high,
        known_by=KnownBy.ASSUMED,
        method="sources along the axis, its doubt assumed",
        inside_range=clear >= 1.0,
    )
