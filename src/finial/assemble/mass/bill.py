"""Bill of materials: everything of a sheet that is printed, cut, bought or filled in, with what it weighs."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from finial.assemble.mass.row import Row
from finial.assemble.mass.rows import mass_rows
from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.rods import rod_count, rod_name
from finial.assemble.vehicle.stays import stay_of, stay_run
from finial.core.estimates import Estimate, KnownBy
from finial.files.sheet_body import FinEntry
from finial.shape.fin_set import FinSet


class BillKind(StrEnum):
    """What kind of thing a row of the bill is."""

    PART = "part"
    ITEM = "item"
    DOWEL = "dowel"
    ROD = "rod"
    NUT = "nut"
    WASHER = "washer"
    FIN = "fin"
    WIRE = "bracing wire"
    MOTOR = "motor"
    PLATE = "thrust plate"
    TUBE = "motor tube"
    SCREW = "screw"
    BUTTON = "rail button"
    PIN = "shear pin"
    CANOPY = "canopy"
    CORD = "cord"
    POWDER = "powder"
    BATTERY = "battery"
    SWITCH = "switch"
    COMPUTER = "computer"
    IGNITER = "igniter"
    LEAD = "pair of leads"


@dataclass(frozen=True, slots=True, kw_only=True)
class BillRow:
    """One kind of thing, as many as the vehicle has of it."""

    kind: BillKind
    name: str
    count: int = 1
    material: str = ""
    detail: str = ""
    """Thread, gauge or kind, as the sheet says it."""
    cut_m: float | None = None
    """Length to cut each to [m]; ``None`` for what is not cut to a length."""
    sides_m: tuple[float, ...] = ()
    """Sides of the sheet it is cut from, or its diameter, each [m]."""
    mass: Estimate | None = None
    """Of all of them [kg]; ``None`` where the sheet does not tell it."""

    @property
    def is_weighed(self) -> bool:
        """Whether a scale says its mass."""
        return self.mass is not None and self.mass.known_by is KnownBy.WEIGHED


def bill_of(vehicle: LoadedVehicle) -> tuple[BillRow, ...]:
    """List everything that the sheet names, in the order of the sheet; a begun sheet has less."""
    fins = fin_sets(vehicle)
    masses = {(row.kind, row.name): row for row in mass_rows(vehicle, fins)}
    return (
        *_parts(vehicle, masses),
        *_items(vehicle, masses),
        *_rods(vehicle, masses),
        *_fins(vehicle, fins, masses),
        *_motor(vehicle),
        *_guide(vehicle),
        *_recovery(vehicle, masses),
        *_electronics(vehicle),
    )


Masses = dict[tuple[str, str], Row]


def _mass(masses: Masses, kind: str, name: str) -> Estimate | None:
    row = masses.get((kind, name))
    return row.mass if row else None


def _parts(vehicle: LoadedVehicle, masses: Masses) -> Iterator[BillRow]:
    for part in vehicle.sheet.part:
        mass = _mass(masses, "part", part.name)
        yield BillRow(kind=BillKind.PART, name=part.name, material=part.material, mass=mass)
        if part.dowels:
            yield BillRow(
                kind=BillKind.DOWEL,
                name=part.name,
                count=part.dowels.count,
                material=part.dowels.material,
                cut_m=2 * part.dowels.depth.value,
                sides_m=(part.dowels.diameter.value,),
            )


def _items(vehicle: LoadedVehicle, masses: Masses) -> Iterator[BillRow]:
    for item in vehicle.sheet.item:
        across = (item.across.value,) if item.across else ()
        yield BillRow(
            kind=BillKind.ITEM,
            name=item.name,
            material=item.material or "",
            cut_m=item.length.value if item.length else None,
            sides_m=tuple(side.value for side in item.sides) if item.sides else across,
            mass=_mass(masses, "item", item.name),
        )


def _rods(vehicle: LoadedVehicle, masses: Masses) -> Iterator[BillRow]:
    for rod in vehicle.sheet.rod:
        count, name = rod_count(rod), rod_name(rod)
        fore, aft = (end.value for end in rod.stations)
        yield BillRow(
            kind=BillKind.ROD,
            name=name,
            count=count,
            material=rod.material,
            detail=rod.thread,
            cut_m=aft - fore,
            mass=_mass(masses, "rod", name),
        )
        yield BillRow(kind=BillKind.NUT, name=name, count=2 * count, detail=rod.thread)
        if rod.washer:
            yield BillRow(
                kind=BillKind.WASHER,
                name=name,
                count=2 * count,
                detail=rod.thread,
                sides_m=(rod.washer.value,),
            )


def _fins(vehicle: LoadedVehicle, fins: tuple[FinSet, ...], masses: Masses) -> Iterator[BillRow]:
    for entry, fin in zip(vehicle.sheet.fin, fins, strict=True):
        yield BillRow(
            kind=BillKind.FIN,
            name=entry.name,
            count=entry.count,
            material=entry.material,
            sides_m=_sheet(entry),
            mass=_mass(masses, "fin", entry.name),
        )
        for stay in entry.stays:
            yield BillRow(
                kind=BillKind.WIRE,
                name=entry.name,
                # A pair from each fin; wires to the next fin are shared by two.
                count=entry.count * (2 if stay.to == "body" else 1),
                material=stay.material,
                cut_m=stay_run(fin, stay_of(vehicle, fin, stay)).length_m,
                sides_m=(stay.diameter.value,),
            )


def _sheet(entry: FinEntry) -> tuple[float, ...]:
    """Sides of the rectangle that one fin is cut from, its tab included, and its thickness [m]."""
    along = [corner[0].value for corner in entry.outline]
    inward = entry.fixing.depth.value if entry.fixing and entry.fixing.depth and _goes_in(entry) else 0.0
    outward = max(corner[1].value for corner in entry.outline)
    return max(along) - min(along), outward + inward, entry.thickness.value


def _goes_in(entry: FinEntry) -> bool:
    return entry.fixing is not None and entry.fixing.kind in ("slot", "tab")


def _motor(vehicle: LoadedVehicle) -> Iterator[BillRow]:
    if "motor" in vehicle.files.missing:
        return
    mount = vehicle.sheet.motor
    for data in vehicle.files.every_motor:
        mass = data.loaded_mass.estimate(KnownBy.HANDBOOK)
        yield BillRow(kind=BillKind.MOTOR, name=data.name, mass=mass)
    told = any(item.room_of == "motor tube" for item in vehicle.sheet.item)
    if mount.mount and not told:
        fore, aft = (end.value for end in mount.mount.stations)
        across = (mount.mount.across.value,)
        yield BillRow(kind=BillKind.TUBE, name=vehicle.files.motor.name, cut_m=aft - fore, sides_m=across)
    if mount.thrust_plate:
        plate = mount.thrust_plate
        yield BillRow(
            kind=BillKind.PLATE,
            name=vehicle.files.motor.name,
            material=plate.material,
            sides_m=((plate.across or plate.held_at).value, plate.thickness.value),
        )
    if mount.retainer:
        yield BillRow(
            kind=BillKind.SCREW,
            name=vehicle.files.motor.name,
            count=mount.retainer.count,
            material=mount.retainer.material,
            detail=mount.retainer.screw,
        )


def _guide(vehicle: LoadedVehicle) -> Iterator[BillRow]:
    guide = vehicle.sheet.guide
    if guide is None:
        return
    across = (guide.across.value,) if guide.across else ()
    yield BillRow(kind=BillKind.BUTTON, name="guide", count=len(guide.buttons), sides_m=across)
    if guide.screw:
        yield BillRow(kind=BillKind.SCREW, name="guide", count=len(guide.buttons), detail=guide.screw)


def _recovery(vehicle: LoadedVehicle, masses: Masses) -> Iterator[BillRow]:
    recovery = vehicle.sheet.recovery
    for joint in recovery.joint:
        if joint.pins:
            yield BillRow(kind=BillKind.PIN, name=joint.name, count=joint.pins.count, detail=joint.pins.screw)
    for canopy in recovery.canopy:
        yield BillRow(
            kind=BillKind.CANOPY,
            name=canopy.name,
            detail=canopy.kind,
            sides_m=(canopy.diameter.value,),
            mass=_mass(masses, "canopy", canopy.name),
        )
    for cord in recovery.cord:
        yield BillRow(
            kind=BillKind.CORD,
            name=cord.name,
            material=cord.material,
            cut_m=cord.length.value,
            mass=_mass(masses, "cord", cord.name),
        )
    for charge in recovery.charge:
        powder = charge.powder.estimate(KnownBy.MEASURED) if charge.powder else None
        yield BillRow(kind=BillKind.POWDER, name=charge.name, mass=powder)


def _electronics(vehicle: LoadedVehicle) -> Iterator[BillRow]:
    electronics = vehicle.sheet.electronics
    for kind, entries in (
        (BillKind.BATTERY, electronics.battery),
        (BillKind.SWITCH, electronics.switch),
        (BillKind.COMPUTER, electronics.computer),
    ):
        yield from (BillRow(kind=kind, name=entry.name) for entry in entries)
    for igniter in electronics.igniter:
        yield BillRow(kind=BillKind.IGNITER, name=igniter.name, detail=igniter.kind or "")
        if igniter.wire:
            yield BillRow(
                kind=BillKind.LEAD,
                name=igniter.name,
                detail=f"AWG {igniter.wire.gauge}",
                cut_m=igniter.wire.length.value,
            )
