"""Changes to a vehicle: new values at places of its sheet, as they would be written there.

One form serves the page's sliders, sizing, ``with_`` and writing back: place and value,
such as ``("item", 0, "mass"): "1.6 kg"``.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pydantic import ValidationError

from finial.assemble.vehicle.known_names import unknown_names
from finial.assemble.vehicle.loading import LoadedVehicle, NamesAbove, PlacedPart, as_one, built, motors_of
from finial.assemble.vehicle.misfits import refuse_misfits
from finial.core.errors import BuildSheetError
from finial.files.edit import Value, changed_text
from finial.files.faults import faults_from
from finial.files.fields import Record, put_at
from finial.files.sheet import LoadedSheet, Sheet, sheet_from
from finial.files.source import read_toml, toml_from
from finial.files.toml_places import KeyPath

Changes = Mapping[KeyPath, Value]
"""New values by place; what is left out stays as it is."""


def changed(vehicle: LoadedVehicle, changes: Changes) -> LoadedVehicle:
    """Return the vehicle with the changed sheet; meshes, sections, motor and site stay as they were read.

    Raises
    ------
    BuildSheetError
        If a place does not take such a value.
    """
    if not changes:
        return vehicle
    sheet = vehicle.sheet
    for where, value in changes.items():
        sheet = _put(vehicle, sheet, where, value)
    parts = tuple(_as_written(part, sheet) for part in vehicle.parts)
    return replace(vehicle, sheet=sheet, parts=parts, on_the_scale=_weighed_as(vehicle, sheet))


def reread(vehicle: LoadedVehicle, changes: Changes, names_above: NamesAbove) -> LoadedVehicle:
    """Return the vehicle that the sheet would give with these values, checked like any sheet.

    Meshes are read and sliced again only where the shape changes.

    Raises
    ------
    BuildSheetError
        With all faults of the changed sheet.
    """
    source = read_toml(vehicle.files.path)
    return of_files(vehicle, sheet_from(toml_from(source.path, changed_text(source, changes))), names_above)


def of_files(vehicle: LoadedVehicle, files: LoadedSheet, names_above: NamesAbove) -> LoadedVehicle:
    """Return the vehicle of another reading of the sheet; meshes are sliced again only for another shape.

    Raises
    ------
    BuildSheetError
        With all names that no table has, all that does not fit the shape, and all faults of a shape
        that is read again.
    """
    if _shape(files.sheet) != _shape(vehicle.files.sheet):
        shaped = built(files, lambda _note: None, names_above)
        return replace(shaped, on_the_scale=_weighed_as(vehicle, files.sheet))
    unknown = unknown_names(files, names_above(files.sheet))
    if unknown:
        raise BuildSheetError(unknown)
    refuse_misfits(files, vehicle.skin, [part.span_m for part in vehicle.parts])
    parts = tuple(_as_written(part, files.sheet) for part in vehicle.parts)
    motors = motors_of(files)
    return replace(
        vehicle,
        files=files,
        sheet=files.sheet,
        motor=as_one(motors),
        motors=motors,
        parts=parts,
        on_the_scale=_weighed_as(vehicle, files.sheet),
    )


def _weighed_as(vehicle: LoadedVehicle, sheet: Sheet) -> LoadedVehicle | None:
    """Vehicle that the sheet's weighing is of: the one before the change, unless the weighing is new."""
    if sheet.weighing is None or sheet.weighing != vehicle.sheet.weighing:
        return None
    return vehicle.on_the_scale or vehicle


def _shape(sheet: Sheet) -> tuple[object, ...]:
    """Everything in a sheet that decides what is sliced, and which fins a mesh is found to carry."""
    drawn = tuple((part.name, part.mesh, part.mesh_unit, part.tiers, part.outside) for part in sheet.part)
    places = tuple(part.tip_station for part in sheet.part)
    fins = tuple((fin.station, fin.count, fin.first_at) for fin in sheet.fin)
    return (sheet.vehicle.up, drawn, places, fins)


def _as_written(part: PlacedPart, sheet: Sheet) -> PlacedPart:
    """Keep the very part where nothing changed: what was solved for it is found by it."""
    spec = next(one for one in sheet.part if one.name == part.spec.name)
    return part if spec == part.spec else replace(part, spec=spec)


def _put(vehicle: LoadedVehicle, sheet: Sheet, where: KeyPath, value: Value) -> Sheet:
    try:
        return _with(sheet, where, value)
    except ValidationError as error:
        raise BuildSheetError(faults_from(_at(error, where), read_toml(vehicle.files.path), Sheet)) from error


def _with(record: Any, where: KeyPath, value: Value) -> Any:
    """Return a record, or a tuple of records, with one value in it replaced and read anew."""
    inside: Any = record
    for step in where[:-1]:
        inside = inside[step] if isinstance(step, int) else getattr(inside, step)
    if not isinstance(inside, Record):
        return put_at(record, where, value)
    read = type(inside).model_validate({**dict(inside), str(where[-1]): value})
    return put_at(record, where[:-1], read)


def _at(error: ValidationError, where: KeyPath) -> ValidationError:
    """Put the path of the record before that inside it."""
    details: list[Any] = [
        {**detail, "loc": (*where[:-1], *detail["loc"]), "type": _kind(detail)} for detail in error.errors()
    ]
    return ValidationError.from_exception_data(error.title, details)


def _kind(detail: Any) -> Any:
    """Give custom errors back as errors, not as names."""
    from pydantic_core import PydanticCustomError

    if detail["type"] == "refusal":
        return PydanticCustomError("refusal", "{accepted}", detail["ctx"])
    return detail["type"]
