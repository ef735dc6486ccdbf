"""Strength of the vehicle as it would be printed: its cuts as joints, its layers as they lie."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from finial.assemble.looks.answer import StageResults, answer
from finial.assemble.prints.plan import KnownLoads, print_plan
from finial.assemble.prints.results import (
    JointReserve,
    PlannedJoint,
    PlannedPiece,
    PlannedStrength,
    PrintPlan,
    Turned,
)
from finial.assemble.strength.results import StationReserves
from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.core.frames import body_from_mesh
from finial.core.units import Quantity
from finial.files.sheet_body import CutEntry, PartEntry
from finial.printing.cuts import Demand
from finial.structure.reserves import FailureMode

Tell = Callable[[str], None]
_AXES = "xyz"


def judged_plan(vehicle: LoadedVehicle, tell: Tell, enough: float) -> PrintPlan:
    """Plan the print with the loads of the flight, and judge the vehicle as it would be printed.

    Parameters
    ----------
    vehicle : LoadedVehicle
        As loaded.
    tell : callable
        Told what is being done.
    enough : float
        Walls pulled across their layers with less in reserve than this are weak [-].

    Raises
    ------
    BuildSheetError
        If the sheet names no bed, or a part cannot be cut so that it fits.
    """
    if vehicle.files.missing:
        return print_plan(vehicle, tell)
    tell("loads of the flight")
    before = answer(vehicle)
    plan = print_plan(vehicle, tell, known_loads(vehicle, before, enough))
    tell("strength with its cuts and layers")
    after = answer(as_printed(vehicle, plan))
    return _judged(plan, before, after)


def known_loads(vehicle: LoadedVehicle, found: StageResults, enough: float) -> KnownLoads:
    """Take from the strength look where the body has least in reserve, and which parts are weak.

    Parameters
    ----------
    vehicle : LoadedVehicle
        Its parts.
    found : StageResults
        With the strength look.
    enough : float
        Walls pulled across their layers with less in reserve than this are weak [-].
    """
    along = found.strength.by_station
    if along is None:
        return KnownLoads()
    known = np.isfinite(along.reserves) & (along.reserves > 0.0)
    shares = 1.0 / along.reserves[known]
    most = float(shares.max(initial=0.0))
    demand = Demand(stations_m=along.stations_m[known], shares=shares / most if most else shares)
    return KnownLoads(
        demand=demand, weak=tuple(part.spec.name for part in vehicle.parts if _weak(part, along, enough))
    )


def _weak(part: PlacedPart, along: StationReserves, enough: float) -> bool:
    fore, aft = part.span_m
    return any(
        fore <= station <= aft and mode is FailureMode.WALL_PULLED and not reserve >= enough
        for station, reserve, mode in zip(
            along.stations_m.tolist(), along.reserves.tolist(), along.modes, strict=True
        )
    )


def as_printed(vehicle: LoadedVehicle, plan: PrintPlan) -> LoadedVehicle:
    """Return the vehicle with the cuts and layers of a plan in its sheet."""
    parts = tuple(_part(part, vehicle.sheet.vehicle.up, plan) for part in vehicle.parts)
    specs = tuple(part.spec for part in parts)
    return replace(vehicle, parts=parts, sheet=vehicle.sheet.model_copy(update={"part": specs}))


def _part(part: PlacedPart, up: str, plan: PrintPlan) -> PlacedPart:
    pieces = [piece for piece in plan.pieces if piece.part == part.spec.name]
    cuts = _cuts(part.spec, plan.joints)
    if not pieces or (cuts == part.spec.cuts and not _turned(part.spec, pieces[0], up)):
        return part
    spec = part.spec.model_copy(update={"cuts": cuts})
    if spec.print is not None:
        layers = spec.print.model_copy(update={"layers_along": _layers(pieces[0], up)})
        spec = spec.model_copy(update={"print": layers})
    return replace(part, spec=spec)


def _cuts(spec: PartEntry, joints: Sequence[PlannedJoint]) -> tuple[CutEntry, ...]:
    return tuple(
        CutEntry(
            station=Quantity(value=joint.station_m, text=f"{1e3 * joint.station_m:.1f} mm"),
            held_by=joint.kind.value,
        )
        for joint in joints
        if joint.part == spec.name and joint.turned is Turned.ACROSS and joint.station_m is not None
    )


def _turned(spec: PartEntry, piece: PlannedPiece, up: str) -> bool:
    return spec.print is not None and spec.print.layers_along != _layers(piece, up)


def _layers(piece: PlannedPiece, up: str) -> str:
    """Mesh axis that the layers of a piece are stacked along."""
    along = np.abs(np.array(piece.lying.up) @ body_from_mesh(up))
    return _AXES[int(along.argmax())]


def _judged(plan: PrintPlan, before: StageResults, after: StageResults) -> PrintPlan:
    along = after.strength.by_station
    unheld = (one for one in after.strength.reserves if one.mode is FailureMode.JOINT_UNHELD)
    return replace(
        plan,
        joints=tuple(replace(joint, reserve=_at(along, joint.station_m)) for joint in plan.joints),
        strength=PlannedStrength(
            before=_worst(before.strength.by_station),
            after=_worst(along),
            unheld=tuple(dict.fromkeys(one.subject for one in unheld)),
        ),
    )


def _at(along: StationReserves | None, station_m: float | None) -> JointReserve | None:
    """Reserve at a joint across the body; cuts along it are seen by no look."""
    if along is None or station_m is None:
        return None
    place = int(np.abs(along.stations_m - station_m).argmin())
    if abs(float(along.stations_m[place]) - station_m) > 1e-6:
        return None
    return JointReserve(low=float(along.reserves[place]), mode=along.modes[place], case=along.cases[place])


def _worst(along: StationReserves | None) -> JointReserve:
    """Return the least reserve along the body; what nobody knows is less than any."""
    if along is None or not len(along.reserves):
        return JointReserve(low=float("nan"), mode=None, case=None)
    place = int(np.where(np.isnan(along.reserves), -np.inf, along.reserves).argmin())
    return JointReserve(low=float(along.reserves[place]), mode=along.modes[place], case=along.cases[place])
