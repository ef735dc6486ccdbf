"""What may be sized: ballast, fins, rail and canopies; tried on a vehicle, or written into its sheet."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from finial.assemble.vehicle.loading import Vehicle
from finial.core.errors import MissingData
from finial.core.units import Quantity
from finial.files.edit import Value
from finial.files.sheet import Sheet
from finial.files.sheet_body import FinEntry, ItemEntry
from finial.files.sheet_recovery import CanopyEntry
from finial.files.toml_places import KeyPath


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """Changes to a sheet, by the names in it; what is left out stays as it is."""

    masses_kg: Mapping[str, float] = field(default_factory=dict)
    """Of items."""
    spans: Mapping[str, float] = field(default_factory=dict)
    """Of fins: how far out they reach, over the sheet's."""
    stations_m: Mapping[str, float] = field(default_factory=dict)
    """Of fins: where the root begins."""
    counts: Mapping[str, int] = field(default_factory=dict)
    """Of fins."""
    rail_m: float | None = None
    canopies_m: Mapping[str, float] = field(default_factory=dict)
    """Diameters of canopies, measured as the sheet says."""


def designed(vehicle: Vehicle, design: Design) -> Vehicle:
    """Return the vehicle as it would be; meshes and sections stay.

    Raises
    ------
    MissingData
        If the sheet has no item, fin or canopy of a name.
    """
    sheet = vehicle.sheet
    _refuse_strangers(sheet, design)
    launch, recovery = sheet.launch, sheet.recovery
    if design.rail_m is not None:
        launch = launch.model_copy(update={"rail_length": metres(design.rail_m)})
    canopies = tuple(_canopy(canopy, design) for canopy in recovery.canopy)
    update = {
        "item": tuple(_item(item, design) for item in sheet.item),
        "fin": tuple(_fin(fin, design) for fin in sheet.fin),
        "launch": launch,
        "recovery": recovery.model_copy(update={"canopy": canopies}),
    }
    return replace(vehicle, sheet=sheet.model_copy(update=update))


def sheet_changes(sheet: Sheet, design: Design) -> dict[KeyPath, Value]:
    """Values to write into the sheet so that it says this design."""
    _refuse_strangers(sheet, design)
    changes: dict[KeyPath, Value] = {}
    for index, item in enumerate(sheet.item):
        if item.name in design.masses_kg:
            tolerance = item.mass.text.partition("+-")[2].strip() if item.mass.tolerance else ""
            mass = f"{1e3 * design.masses_kg[item.name]:.0f} g"
            changes["item", index, "mass"] = f"{mass} +- {tolerance}" if tolerance else mass
    for index, fin in enumerate(sheet.fin):
        shaped = _fin(fin, design)
        if fin.name in design.spans:
            points = [[along.text, outward.text] for along, outward in shaped.outline]
            changes["fin", index, "outline"] = points
        if fin.name in design.stations_m:
            changes["fin", index, "station"] = shaped.station.text
        if fin.name in design.counts:
            changes["fin", index, "count"] = shaped.count
    if design.rail_m is not None:
        changes["launch", "rail_length"] = metres(design.rail_m).text
    for index, canopy in enumerate(sheet.recovery.canopy):
        if canopy.name in design.canopies_m:
            changes["recovery", "canopy", index, "diameter"] = metres(design.canopies_m[canopy.name]).text
    return changes


def metres(value_m: float) -> Quantity:
    """Return a length as a builder would write it, to a tenth of a millimetre.

    Examples
    --------
    >>> metres(0.1855).text
    '185.5 mm'
    """
    return Quantity(value=value_m, text=f"{1e3 * value_m:.1f} mm".replace(".0 mm", " mm"))


def _item(item: ItemEntry, design: Design) -> ItemEntry:
    if item.name not in design.masses_kg:
        return item
    mass_kg = design.masses_kg[item.name]
    mass = replace(item.mass, value=mass_kg, tolerance=min(item.mass.tolerance, mass_kg))
    return item.model_copy(update={"mass": mass})


def _fin(fin: FinEntry, design: Design) -> FinEntry:
    scale = design.spans.get(fin.name, 1.0)
    update: dict[str, Any] = {
        "outline": tuple((along, _scaled(outward, scale)) for along, outward in fin.outline),
        "count": design.counts.get(fin.name, fin.count),
    }
    if fin.name in design.stations_m:
        update["station"] = metres(design.stations_m[fin.name])
    return fin.model_copy(update=update)


def _scaled(outward: Quantity, scale: float) -> Quantity:
    return outward if scale == 1.0 or outward.value == 0.0 else metres(outward.value * scale)


def _canopy(canopy: CanopyEntry, design: Design) -> CanopyEntry:
    """Give a canopy another diameter; its mass grows with its area."""
    if canopy.name not in design.canopies_m:
        return canopy
    diameter = metres(design.canopies_m[canopy.name])
    area = (diameter.value / canopy.diameter.value) ** 2
    mass = replace(canopy.mass, value=canopy.mass.value * area, tolerance=canopy.mass.tolerance * area)
    kept = replace(diameter, tolerance=canopy.diameter.tolerance)
    return canopy.model_copy(update={"diameter": kept, "mass": mass})


def _refuse_strangers(sheet: Sheet, design: Design) -> None:
    for kind, names, known in (
        ("item", design.masses_kg, sheet.item),
        ("fin", {**design.spans, **design.stations_m, **design.counts}, sheet.fin),
        ("canopy", design.canopies_m, sheet.recovery.canopy),
    ):
        there = [record.name for record in known]
        for name in names:
            if name not in there:
                listed = ", ".join(f'"{one}"' for one in there) or "none"
                raise MissingData(f'the sheet has no {kind} "{name}": it has {listed}')
