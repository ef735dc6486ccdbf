"""Everything of a sheet that sizing may pull at: from what it is to the most that is tried.

Each is a lever with its two ends, so that advice and mending try the same things in the same steps.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.levers import (
    ballast,
    canopy,
    grams,
    metres,
    newtons,
    rail,
    span,
    swept_span,
    with_tolerance,
)
from finial.assemble.vehicle.loading import PlacedPart, Vehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.core.dimensions import Dimension
from finial.core.units import Quantity
from finial.files.edit import Value
from finial.files.sheet import Sheet
from finial.files.toml_places import KeyPath
from finial.mass.printed import printed_part
from finial.mass.thin_walls import wall_share
from finial.materials.material import material
from finial.printing.walls import PrintedWalls
from finial.recovery.cords.kinds import cord_named
from finial.structure.rods.threads import stress_area, thread

MOST_BALLAST_KG, LONGEST_RAIL_M, WIDEST_SPAN, WIDEST_CANOPY = 5.0, 12.0, 2.0, 2.0
FARTHEST_WIDTHS = 1.5
"""How far fins may reach out where that is more, in widths of the vehicle [-]; chosen."""
MOST_TIMES = 3.0
"""More of the same than this is another layout [-]; chosen."""
MOST_PINS = 8
STIFFER_PLATES = "G10", "carbon plate"
"""Plates that fins are cut from, the usual one first; common practice."""
TIGHTEST = 0.5
"""How far a rod may be tightened, as a share of what it yields at [-]; common practice for a reused rod."""
USUAL_PIN = "2-56 nylon"
THICKEST_WALL_M = 0.02


class TweakKind(StrEnum):
    """What may be changed."""

    BALLAST = "ballast"
    SPAN = "span"
    SWEPT = "swept span"
    """Longer fins whose tips go aft as far as they go out."""
    THICKNESS = "thickness"
    PLATE = "plate"
    """Fins of a stiffer plate, as thick as before."""
    WALLS = "walls"
    PRELOAD = "preload"
    LESS_PRELOAD = "less preload"
    PINS = "pins"
    CHARGE = "charge"
    LESS_CHARGE = "less charge"
    CANOPY = "canopy"
    SMALLER_CANOPY = "smaller canopy"
    CORD = "cord"
    LONGER_CORD = "longer cord"
    RAIL = "rail"
    GUIDES = "guides"
    STAYS = "stays"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tweak:
    """One thing that may change: from what the sheet says to the most that is tried [SI]."""

    kind: TweakKind
    name: str
    now: float
    most: float
    step: float
    dimension: Dimension
    changes: Callable[[float], Changes]
    to: str = ""
    """What it is changed to, where that is a thing of the tables and no number."""

    @property
    def is_whole(self) -> bool:
        """True for what is done or left, and not by halves."""
        return abs(self.most - self.now) <= self.step

    def at(self, share: float) -> float:
        """Value at a share of the way from now to the most, on a step a builder can make.

        Parameters
        ----------
        share : float
            Share of the way [-].

        Returns
        -------
        value : float
            In the unit of the pull's dimension [SI].

        Notes
        -----
        For shares from 0 to 1.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> rail = Tweak(kind=TweakKind.RAIL, name="", now=2.0, most=12.0, step=0.05,
        ...     dimension=Dimension.LENGTH, changes=lambda _length_m: {})
        >>> rail.at(0.5)
        7.0
        """
        value = self.now + share * (self.most - self.now)
        return min(self.now, self.most) if value < 0.0 else round(value / self.step) * self.step


def pulls_of(vehicle: Vehicle) -> tuple[Tweak, ...]:
    """Every pull that a vehicle's sheet has, in the order in which a builder would try them."""
    sheet = vehicle.sheet
    found = [
        *_ballast(sheet),
        *_fins(sheet, vehicle.skin.width_m),
        *_walls(vehicle),
        *_rods(sheet),
        *_pins(sheet),
        *_charges(sheet),
        *_canopies(sheet),
        *_cords(sheet),
        *_launch(vehicle),
    ]
    return tuple(one for one in found if not math.isclose(one.now, one.most))


def ballast_items(sheet: Sheet) -> tuple[str, ...]:
    """Names of the items that may be made heavier: those the sheet marks, else the foremost."""
    forward = sorted(sheet.item, key=lambda item: item.station.value)
    marked = [item.name for item in forward if item.ballast]
    return tuple(marked or [item.name for item in forward[:1]])


def _pull(kind: TweakKind, name: str, ends: tuple[float, float, float], dimension: Dimension,
          changes: Callable[[float], Changes]) -> Tweak:  # fmt: skip
    now, most, step = ends
    return Tweak(kind=kind, name=name, now=now, most=most, step=step, dimension=dimension, changes=changes)


def _ballast(sheet: Sheet) -> Iterator[Tweak]:
    masses = {item.name: item.mass.value for item in sheet.item}
    for name in ballast_items(sheet):
        ends = masses[name], max(MOST_BALLAST_KG, masses[name]), 0.005

        def heavier(mass_kg: float, item: str = name) -> Changes:
            return ballast(sheet, item, mass_kg)

        yield _pull(TweakKind.BALLAST, name, ends, Dimension.MASS, heavier)


def _fins(sheet: Sheet, width_m: float) -> Iterator[Tweak]:
    for index, fin in enumerate(sheet.fin):
        reach = max(outward.value for _, outward in fin.outline)
        widest = max(WIDEST_SPAN, FARTHEST_WIDTHS * width_m / reach)

        def longer(scale: float, name: str = fin.name) -> Changes:
            return span(sheet, name, scale)

        def thicker(thickness_m: float, at: int = index) -> Changes:
            return {("fin", at, "thickness"): metres(thickness_m)}

        def swept(scale: float, name: str = fin.name) -> Changes:
            return swept_span(sheet, name, scale)

        yield _pull(TweakKind.SPAN, fin.name, (1.0, widest, 0.01), Dimension.RATIO, longer)
        yield _pull(TweakKind.SWEPT, fin.name, (1.0, widest, 0.01), Dimension.RATIO, swept)
        ends = fin.thickness.value, MOST_TIMES * fin.thickness.value, 0.0001
        yield _pull(TweakKind.THICKNESS, fin.name, ends, Dimension.LENGTH, thicker)
        yield from _plates(sheet, index)


def _plates(sheet: Sheet, index: int) -> Iterator[Tweak]:
    """One pull for each plate that is stiffer than what a fin is cut from."""
    fin = sheet.fin[index]
    now = sheet_material(sheet, fin.material)
    for plate in STIFFER_PLATES:
        if material(plate).modulus_pa.low <= now.modulus_pa.high:
            continue

        def cut_from(done: float, of: str = plate) -> Changes:
            return {("fin", index, "material"): of if done else fin.material}

        yield Tweak(
            kind=TweakKind.PLATE,
            name=fin.name,
            now=0.0,
            most=1.0,
            step=1.0,
            dimension=Dimension.RATIO,
            changes=cut_from,
            to=plate,
        )


def _walls(vehicle: Vehicle) -> Iterator[Tweak]:
    printed = [part for part in vehicle.parts if part.spec.print]
    thickest = max((part.spec.print.wall.value for part in printed if part.spec.print), default=0.0)
    if not thickest:
        return

    def thicker(scale: float) -> Changes:
        changes: dict[KeyPath, Value] = {}
        for index, part in enumerate(vehicle.parts):
            changes |= _wall(vehicle.sheet, index, part, scale)
        return changes

    most = min(MOST_TIMES, THICKEST_WALL_M / thickest)
    yield _pull(TweakKind.WALLS, "", (1.0, most, 0.05), Dimension.RATIO, thicker)


def _wall(sheet: Sheet, index: int, part: PlacedPart, scale: float) -> dict[KeyPath, Value]:
    """Wall of one part; one that was weighed grows by what its walls add."""
    printed = part.spec.print
    if printed is None:
        return {}
    changes: dict[KeyPath, Value] = {("part", index, "print", "wall"): metres(printed.wall.value * scale)}
    if part.spec.weighed:
        density = sheet_material(sheet, part.spec.material).density_kg_m3
        before, after = (
            printed_part(
                part.solid,
                density,
                PrintedWalls(wall_m=printed.wall.value * times, infill=printed.infill.value),
                wall_share(part.mended, printed.wall.value * times),
            ).mass.value
            for times in (1.0, scale)
        )
        changes[("part", index, "weighed")] = grams(part.spec.weighed.value * after / before)
    return changes


def _rods(sheet: Sheet) -> Iterator[Tweak]:
    for index, rod in enumerate(sheet.rod):
        if not rod.preload:
            continue
        name, now = rod.name or rod.thread, rod.preload.value
        share = rod.preload.tolerance / now if now else 0.0

        def tightened(force_n: float, at: int = index, off: float = share) -> Changes:
            return {("rod", at, "preload"): with_tolerance(newtons, force_n, off * force_n)}

        metal = sheet_material(sheet, rod.material)
        tightest = TIGHTEST * metal.yield_pa.low * stress_area(thread(rod.thread))
        yield _pull(TweakKind.PRELOAD, name, (now, max(now, tightest), 5.0), Dimension.FORCE, tightened)
        yield _pull(TweakKind.LESS_PRELOAD, name, (now, now / MOST_TIMES, 5.0), Dimension.FORCE, tightened)


def _pins(sheet: Sheet) -> Iterator[Tweak]:
    used = next((joint.pins.screw for joint in sheet.recovery.joint if joint.pins), USUAL_PIN)
    for index, joint in enumerate(sheet.recovery.joint):
        there = joint.pins

        def pinned(count: float, at: int = index, screw: str = there.screw if there else used) -> Changes:
            return {("recovery", "joint", at, "pins"): {"screw": screw, "count": round(count)}}

        ends = float(there.count if there else 0), float(MOST_PINS), 1.0
        if ends[0] < ends[1]:
            yield _pull(TweakKind.PINS, joint.name, ends, Dimension.RATIO, pinned)


def _charges(sheet: Sheet) -> Iterator[Tweak]:
    for bay in sheet.recovery.bay:
        loaded = [
            (index, charge.powder)
            for index, charge in enumerate(sheet.recovery.charge)
            if charge.bay == bay.name and charge.powder
        ]
        if not loaded:
            continue

        def larger(scale: float, powders: list[tuple[int, Quantity]] = loaded) -> Changes:
            return {
                ("recovery", "charge", at, "powder"): with_tolerance(
                    _fine_grams, powder.value * scale, powder.tolerance
                )
                for at, powder in powders
            }

        yield _pull(TweakKind.CHARGE, bay.name, (1.0, MOST_TIMES, 0.05), Dimension.RATIO, larger)
        yield _pull(TweakKind.LESS_CHARGE, bay.name, (1.0, 0.3, 0.05), Dimension.RATIO, larger)


def _fine_grams(mass_kg: float) -> str:
    """Write a charge's mass to a hundredth of a gram."""
    return f"{1e3 * mass_kg:.2f} g"


def _canopies(sheet: Sheet) -> Iterator[Tweak]:
    for one in sheet.recovery.canopy:

        def sized(diameter_m: float, name: str = one.name) -> Changes:
            return canopy(sheet, name, diameter_m)

        now = one.diameter.value
        yield _pull(TweakKind.CANOPY, one.name, (now, WIDEST_CANOPY * now, 0.01), Dimension.LENGTH, sized)
        smaller = now, now / WIDEST_CANOPY, 0.01
        yield _pull(TweakKind.SMALLER_CANOPY, one.name, smaller, Dimension.LENGTH, sized)


def _cords(sheet: Sheet) -> Iterator[Tweak]:
    for index, cord in enumerate(sheet.recovery.cord):
        own = cord.breaking_load
        holds = own.value if own else cord_named(cord.material).breaking_load_n.value

        def stronger(load_n: float, at: int = index) -> Changes:
            return {("recovery", "cord", at, "breaking_load"): newtons(load_n)}

        def longer(length_m: float, at: int = index) -> Changes:
            return {("recovery", "cord", at, "length"): metres(length_m)}

        ends = holds, MOST_TIMES * holds, 50.0
        yield _pull(TweakKind.CORD, cord.name, ends, Dimension.FORCE, stronger)
        length = cord.length.value
        ends = length, MOST_TIMES * length, 0.05
        yield _pull(TweakKind.LONGER_CORD, cord.name, ends, Dimension.LENGTH, longer)


def _launch(vehicle: Vehicle) -> Iterator[Tweak]:
    sheet, length = vehicle.sheet, vehicle.skin.length_m
    now = sheet.launch.rail_length.value

    def raised(length_m: float) -> Changes:
        return rail(sheet, "", length_m)

    yield _pull(TweakKind.RAIL, "", (now, max(LONGEST_RAIL_M, now), 0.05), Dimension.LENGTH, raised)
    if sheet.guide is None or len(sheet.guide.buttons) < 2:
        return
    stations = [button.value for button in sheet.guide.buttons]
    last = stations.index(max(stations))

    def farther_aft(station_m: float) -> Changes:
        moved = [button.text for button in sheet.guide.buttons] if sheet.guide else []
        moved[last] = metres(station_m)
        return {("guide", "buttons"): list[object](moved)}

    aft = max(length - 0.02, stations[last])
    yield _pull(TweakKind.GUIDES, "", (stations[last], aft, 0.001), Dimension.LENGTH, farther_aft)
