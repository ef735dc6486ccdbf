"""Air on planes of a study's runs in small arrays: in each run's own file, and of all winds in one to ship.

Speeds are kept to a hundredth, pressure coefficients to two hundredths, velocities of moments to a fiftieth.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pydantic import TypeAdapter

from finial.files.tunnel_runs import Count, Positive
from finial.tunnel.flow import AirSeen, PlaneFlow
from finial.tunnel_study.small_file import Arrays, WindTold, kept_of_shape, read_small_file, small_file

FLOWS = "flows.npz"
SPEEDS, PRESSURES, VELOCITIES = 100.0, 50.0, 50.0
"""Steps that one is kept in."""
INSIDE = 255
"""Kept in place of a speed inside the shape."""


class FlowTold(WindTold):
    """What kept air is of."""

    width_m: Positive
    travel_widths: Positive
    """That the means are of."""
    moments: Count


FLOWS_TOLD = TypeAdapter(tuple[FlowTold, ...])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KeptFlow:
    """Air of one run on planes through the axis."""

    told: FlowTold
    flow: AirSeen


def flow_arrays(flow: AirSeen | None, prefix: str = "flow-") -> Arrays:
    """Write what was seen as few bytes; nothing for nothing."""
    if flow is None:
        return {}
    found: Arrays = {f"{prefix}moments": _stepped(flow.moments, VELOCITIES, np.int8)}
    found[f"{prefix}apart"] = np.array(flow.apart_widths)
    for number, plane in enumerate(flow.planes):
        own = f"{prefix}{number}-"
        speed = np.where(plane.air, np.minimum(np.round(plane.speed * SPEEDS), INSIDE - 1), INSIDE)
        found[f"{own}place"] = np.array([plane.up_rad, *plane.low_m, plane.step_m])
        found[f"{own}speed"] = speed.astype(np.uint8)
        found[f"{own}pressure"] = _stepped(plane.pressure, PRESSURES, np.int8)
        found[f"{own}corners"] = np.concatenate([np.empty((0, 2)), *plane.outline_m]).astype(np.float32)
        found[f"{own}loops"] = np.array([len(loop) for loop in plane.outline_m], dtype=np.int32)
    return found


def flow_from(stored: Mapping[str, Any], prefix: str = "flow-") -> AirSeen | None:
    """Read what was seen; None where nothing was kept, as by earlier versions.

    Raises
    ------
    ValueError
        If the arrays are not of one flow.
    """
    if f"{prefix}moments" not in stored:
        return None
    moments = stored[f"{prefix}moments"] / VELOCITIES
    first, second = (_plane(stored, f"{prefix}{number}-") for number in range(2))
    if moments.ndim != 4 or moments.shape[1:] != (2, *first.air.shape):
        raise ValueError("moments and planes are not of one flow")
    return AirSeen(planes=(first, second), moments=moments, apart_widths=float(stored[f"{prefix}apart"]))


def _plane(stored: Mapping[str, Any], own: str) -> PlaneFlow:
    kept = stored[f"{own}speed"]
    pressure = stored[f"{own}pressure"] / PRESSURES
    up, station, across, step = stored[f"{own}place"].tolist()
    ends: list[int] = np.cumsum(stored[f"{own}loops"]).tolist()[:-1]
    corners = stored[f"{own}corners"].astype(float)
    if kept.ndim != 2 or kept.shape != pressure.shape or step <= 0.0 or not np.isfinite(corners).all():
        raise ValueError("speed and pressure are not of one plane")
    return PlaneFlow(
        up_rad=up,
        low_m=(station, across),
        step_m=step,
        air=kept != INSIDE,
        speed=np.where(kept == INSIDE, 0.0, kept / SPEEDS),
        pressure=pressure,
        outline_m=tuple(np.split(corners, ends)) if len(corners) else (),
    )


def _stepped(values: NDArray[np.float64], steps: float, kind: type[np.signedinteger[Any]]) -> NDArray[Any]:
    most = np.iinfo(kind).max
    return np.clip(np.round(values * steps), -most, most).astype(kind)


def flows_bytes(flows: Iterable[KeptFlow]) -> bytes:
    """Write the air of all winds that were blown, of each the finest run, as a file."""
    finest: dict[tuple[str, float, float], KeptFlow] = {}
    for one in flows:
        wind = one.told.shape, one.told.angle_rad, one.told.roll_rad
        if wind not in finest or finest[wind].told.cells < one.told.cells:
            finest[wind] = one
    chosen = [finest[wind] for wind in sorted(finest)]
    arrays: Arrays = {}
    for number, one in enumerate(chosen):
        arrays |= flow_arrays(one.flow, f"{number}-")
    return small_file(FLOWS_TOLD, tuple(one.told for one in chosen), arrays)


def read_flows(folder: Path) -> tuple[KeptFlow, ...]:
    """Read the air that a folder keeps; none where there is no such file.

    Raises
    ------
    CampaignError
        If the file is not as it was written.
    """
    return read_small_file(folder / FLOWS, FLOWS_TOLD, _kept)


def _kept(told: Sequence[FlowTold], stored: Mapping[str, Any]) -> list[KeptFlow]:
    found = [(one, flow_from(stored, f"{number}-")) for number, one in enumerate(told)]
    if any(flow is None for _, flow in found):
        raise ValueError("a flow that is told of is not there")
    return [KeptFlow(told=one, flow=flow) for one, flow in found if flow is not None]


def flows_of(shape: str, folder: Path) -> tuple[KeptFlow, ...]:
    """Read the air that a folder keeps of one shape; the same records as long as the file stays.

    Raises
    ------
    MissingData
        If it keeps none, or of other shapes alone.
    CampaignError
        If their file is not as it was written.
    """
    none, others = "no air round the shape is kept yet", "the air that is kept is of another shape"
    return kept_of_shape(shape, folder / FLOWS, read_flows, none=none, others=others)
