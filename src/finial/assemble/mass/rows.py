"""Mass of everything in the sheet: rows, balance point, inertia over the burn."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from finial.assemble.mass.results import MassResult, MassRow, WeighedSoFar, WholeWeighed
from finial.assemble.mass.row import Row, motor_row
from finial.assemble.mass.weighing import agreed, carried_over, moved_across, rest, weighed
from finial.assemble.vehicle.bays import bay_axis, bay_of_joint, cord_mass_per_m
from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.assemble.vehicle.materials import sheet_material, walls_of
from finial.assemble.vehicle.motors import burning_motors
from finial.assemble.vehicle.rods import rod_count, rod_name, rod_places
from finial.core.estimates import Estimate, KnownBy, exact, spread, total
from finial.core.kept_parts import kept
from finial.files.fields import across_m
from finial.files.sheet import Sheet
from finial.files.sheet_body import BoreEntry, ItemEntry, RodEntry
from finial.files.sheet_recovery import BayEntry, CanopyEntry
from finial.flight.inputs import MassHistory
from finial.mass.balance import balance_point
from finial.mass.burn import Burning, burn_knots
from finial.mass.printed import Hole, guessed_part, holed_part, printed_part, solid_part, weighed_part
from finial.mass.properties import MassProperties, combined
from finial.mass.simple import plates, point_mass, rods
from finial.mass.thin_walls import wall_share
from finial.shape.fin_set import FinSet
from finial.structure.rods.threads import stress_area, thread


def mass_rows(vehicle: LoadedVehicle, fins: tuple[FinSet, ...]) -> tuple[Row, ...]:
    """Everything but the motor, one row each; they agree with the whole where it was weighed."""
    rows = _by_themselves(vehicle, fins)
    whole, then = _whole(vehicle, rows), vehicle.on_the_scale or vehicle
    if whole is None or then.sheet.weighing is None:
        return rows
    moved = moved_across(then.sheet.weighing, _rows_then(vehicle, rows), motor_row(then, 1.0), rows)
    return agreed(whole, moved)


def _whole(vehicle: LoadedVehicle, rows: tuple[Row, ...]) -> WholeWeighed | None:
    """Return the whole as weighed, what the sheet changed since carried over; ``None`` if it never was."""
    then = vehicle.on_the_scale or vehicle
    if then.sheet.weighing is None or "motor" in then.files.missing:
        return None
    before = _rows_then(vehicle, rows)
    found = weighed(then.sheet.weighing, before, motor_row(then, 1.0))
    return found if then is vehicle else carried_over(found, before, rows)


def _rows_then(vehicle: LoadedVehicle, rows: tuple[Row, ...]) -> tuple[Row, ...]:
    """Rows of the vehicle as it stood on the scale."""
    then = vehicle.on_the_scale
    return rows if then is None else _by_themselves(then, fin_sets(then))


def _by_themselves(vehicle: LoadedVehicle, fins: tuple[FinSet, ...]) -> tuple[Row, ...]:
    sheet = vehicle.sheet
    return (
        *(_part_row(part, _density(sheet, part.spec.material)) for part in vehicle.parts),
        *(_item_row(item) for item in sheet.item if item.mass.value > 0),
        *(_rod_row(rod, _density(sheet, rod.material)) for rod in sheet.rod),
        *(
            _fin_row(fin, _density(sheet, given.material), given.thickness.tolerance)
            for fin, given in zip(fins, sheet.fin, strict=True)
        ),
        *(_canopy_row(canopy, sheet.recovery.bay) for canopy in sheet.recovery.canopy),
        *_cord_rows(vehicle),
    )


def _density(sheet: Sheet, material: str) -> Estimate:
    return sheet_material(sheet, material).density_kg_m3


def mass_result(vehicle: LoadedVehicle, rows: tuple[Row, ...]) -> MassResult:
    """Totals and balance points at lift-off and at burnout."""
    loaded, empty = motor_row(vehicle, 1.0), motor_row(vehicle, 0.0)
    lift_off = (*rows, loaded)
    burnout = (*rows, empty)
    result = MassResult(
        rows=tuple(map(_in_table, lift_off)),
        lift_off=combined(row.body for row in lift_off),
        burnout=combined(row.body for row in burnout),
        lift_off_mass=_total_mass(lift_off),
        lift_off_balance=_balance(lift_off),
        burnout_balance=_balance(burnout),
    )
    found = _whole(vehicle, rows)
    return _as_weighed(result, found, rows, (loaded, empty)) if found else result


def _as_weighed(
    result: MassResult, found: WholeWeighed, rows: tuple[Row, ...], motors: tuple[Row, Row]
) -> MassResult:
    """Totals with the whole as one body that was weighed, in place of the sum of its rows."""
    left = rest(found, rows)
    loaded, empty = (motor.share for motor in motors)
    return replace(
        result,
        lift_off_mass=total((left.mass, loaded.mass), method="the whole as weighed, and its motors"),
        lift_off_balance=balance_point([left, loaded]),
        burnout_balance=balance_point([left, empty]),
        weighed=found,
    )


def weighed_so_far(vehicle: LoadedVehicle, rows: tuple[Row, ...]) -> WeighedSoFar:
    """Totals of a sheet that is only begun; with its motor as soon as it names one."""
    if "motor" not in vehicle.files.missing:
        rows = (*rows, motor_row(vehicle, 1.0))
    return WeighedSoFar(rows=tuple(map(_in_table, rows)), mass=_total_mass(rows), balance=_balance(rows))


def _in_table(row: Row) -> MassRow:
    return MassRow(
        name=row.name,
        kind=row.kind,
        mass=row.mass,
        station_m=row.station.value,
        is_ballast=row.is_ballast,
        drawn=row.drawn,
        alone=row.alone,
    )


def mass_history(vehicle: LoadedVehicle, rows: tuple[Row, ...], factor: float = 1.0) -> MassHistory:
    """Mass, centre and inertia over the burn.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle with its motor.
    rows : tuple of Row
        Everything but the motor.
    factor : float
        Scales everything but the motor [-].

    Returns
    -------
    history : MassHistory
        At every knot of the thrust curve.
    """
    return _history(rows, burning_motors(vehicle), vehicle.motor.times_s, factor)


@kept(8)
def _history(
    rows: tuple[Row, ...], motors: tuple[Burning, ...], times_s: NDArray[np.float64], factor: float
) -> MassHistory:
    rest = _together(rows)
    rest = replace(rest, mass_kg=rest.mass_kg * factor, inertia_kg_m2=rest.inertia_kg_m2 * factor)
    knots = burn_knots(rest, motors, times_s)
    return MassHistory(
        times_s=knots.times_s,
        masses_kg=knots.masses_kg,
        centres_m=knots.centres_m,
        inertias_kg_m2=knots.inertias_kg_m2,
    )


# Corners are lighter and heavier alike.
@kept(4)
def _together(rows: tuple[Row, ...]) -> MassProperties:
    return combined(row.body for row in rows)


def _total_mass(rows: tuple[Row, ...]) -> Estimate:
    """Sum of the rows, known as well as the row that widens it most."""
    widest = max(rows, key=lambda row: row.mass.half_width)
    added = total((row.mass for row in rows), method="sum of the rows")
    return replace(added, known_by=max(KnownBy.COMPUTED, widest.mass.known_by))


def _balance(rows: tuple[Row, ...]) -> Estimate:
    """Balance point, known as well as the row that widens it most."""
    point = balance_point([row.share for row in rows])
    widest = max(rows, key=lambda row: balance_reach(row, point.value))
    return replace(point, known_by=max(KnownBy.COMPUTED, widest.mass.known_by))


def balance_reach(row: Row, balance_m: float) -> float:
    """How far a row's own interval can push the balance point, times the total mass [kg m]."""
    by_mass = row.mass.half_width * abs(row.station.value - balance_m)
    return by_mass + row.mass.value * row.station.half_width


# On the page one row moves, and the others stay the very same: what was found of them stays with them.
@kept(64)
def _part_row(part: PlacedPart, density: Estimate) -> Row:
    spec = part.spec
    walls, share = walls_of(spec), 1.0
    if walls is not None:
        share = wall_share(part.mended, walls.wall_m)
        found = printed_part(part.solid, density, walls, share)
    else:
        found = solid_part(part.solid, density)
    found = holed_part(found, density, walls, [_hole(bore, part.span_m) for bore in spec.bores])
    if spec.guessed:
        found = guessed_part(found, part.solid, density, walls, share)
    drawn = found.mass if spec.weighed else None
    if spec.weighed:
        found = weighed_part(found, spec.weighed.estimate(KnownBy.WEIGHED, method="on a scale"))
    body = found.properties
    return Row(
        name=spec.name,
        kind="part",
        mass=found.mass,
        station=exact(body.station_m),
        body=body,
        span_m=part.span_m,
        drawn=drawn,
    )


def _hole(bore: BoreEntry, span_m: tuple[float, float]) -> Hole:
    """Return a hole that is said, as far as it lies within its part."""
    fore, aft = (end.value for end in bore.stations)
    if bore.sides:
        first, second = (side.value for side in bore.sides)
        area, girth = first * second, 2 * (first + second)
    else:
        across = bore.across.value if bore.across else 0.0
        area, girth = math.pi / 4 * across**2, math.pi * across
    stations = max(fore, span_m[0]), min(aft, span_m[1])
    return Hole(stations_m=stations, area_m2=area, girth_m=girth, offset_m=across_m(bore.offset))


@kept(128)
def _item_row(item: ItemEntry) -> Row:
    return Row(
        name=item.name,
        kind="item",
        mass=item.mass.estimate(item.known_by, method="entered in the sheet"),
        station=item.station.estimate(KnownBy.MEASURED),
        body=point_mass(item.mass.value, item.station.value, across_m(item.offset)),
        is_ballast=item.ballast,
    )


@kept(32)
def _rod_row(rod: RodEntry, density: Estimate) -> Row:
    fore, aft = (station.value for station in rod.stations)
    each = density.scaled(stress_area(thread(rod.thread)) * (aft - fore))
    mass = replace(each.scaled(rod_count(rod)), method="stress area times length")
    return Row(
        name=rod_name(rod),
        kind="rod",
        mass=replace(mass, known_by=KnownBy.COMPUTED),
        station=exact((fore + aft) / 2),
        body=rods(each.value, rod_places(rod), (fore, aft)),
        span_m=(fore, aft),
    )


@kept(32)
def _fin_row(fin: FinSet, density: Estimate, thickness_tolerance_m: float) -> Row:
    body = plates(fin, density.value)
    share = (density.half_width / density.value) + thickness_tolerance_m / fin.thickness_m
    mass = spread(body.mass_kg, share, known_by=KnownBy.COMPUTED, method="area, thickness and density")
    along = fin.station_m + fin.outline_m[:, 0]
    return Row(
        name=fin.name,
        kind="fin",
        mass=mass,
        station=exact(body.station_m),
        body=body,
        span_m=(float(along.min()), float(along.max())),
    )


@kept(32)
def _canopy_row(canopy: CanopyEntry, bays: tuple[BayEntry, ...]) -> Row:
    """Return the row of a canopy, which lies on the axis of its bay."""
    mass = canopy.mass.estimate(KnownBy.WEIGHED if canopy.mass.tolerance else KnownBy.HANDBOOK)
    bay = next((bay for bay in bays if bay.name == canopy.bay), None)
    offset = bay_axis(bay, canopy.station.value) if bay else (0.0, 0.0)
    body = point_mass(mass.value, canopy.station.value, offset)
    station = canopy.station.estimate(KnownBy.MEASURED)
    return Row(name=canopy.name, kind="canopy", mass=mass, station=station, body=body)


def _cord_rows(vehicle: LoadedVehicle) -> Iterator[Row]:
    """Cords lie in the bay of their joint; a cord whose mass per length nobody knows is left out."""
    recovery = vehicle.sheet.recovery
    for cord in recovery.cord:
        per_length = cord_mass_per_m(cord)
        bay = bay_of_joint(vehicle.sheet, cord.joint)
        if per_length is None or bay is None:
            continue
        station = (bay.stations[0].value + bay.stations[1].value) / 2
        mass = spread(per_length * cord.length.value, 0.1, known_by=KnownBy.HANDBOOK, method="length")
        body = point_mass(mass.value, station, across_m(bay.offset))
        yield Row(name=cord.name, kind="cord", mass=mass, station=exact(station), body=body)


def balance_at(result: MassResult, history: MassHistory, time_s: float) -> Estimate:
    """Balance point [m] at a time after ignition, between lift-off and burnout."""
    start, end = result.lift_off_balance, result.burnout_balance
    now = -float(np.interp(time_s, history.times_s, history.centres_m[:, 0]))
    gone = 0.0 if start.value == end.value else (now - start.value) / (end.value - start.value)
    gone = min(max(gone, 0.0), 1.0)
    return Estimate(
        value=now,
        low=min(now, start.low + gone * (end.low - start.low)),
        high=max(now, start.high + gone * (end.high - start.high)),
        known_by=max(start.known_by, end.known_by),
        method="mass table and burn",
    )
