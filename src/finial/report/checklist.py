"""Checklists of one vehicle, from its own sheet: from the evening before to what lies in the field."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from finial.assemble.recovery.bursts import planned_shots
from finial.atmosphere.wind import log_law_wind, terrain_named
from finial.core.dimensions import Dimension
from finial.core.errors import OutsideRange
from finial.core.units import Quantity
from finial.files.sheet import Sheet
from finial.files.sheet_body import RodEntry
from finial.files.sheet_day import LaunchEntry
from finial.files.sheet_recovery import BayEntry, ComputerEntry, EventEntry, PowderChargeEntry
from finial.findings.range_result import RangeResult
from finial.range_safety.limits import CodeLimits
from finial.report.recovery_words import planned_words
from finial.report.sections.field import as_read
from finial.report.shown import Shown, bearing
from finial.report.switch_moves import moves

HAND_M = 2.0
"""Height at which a meter is held up [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """One box to tick."""

    text: str
    stops: bool = False
    """True where two people look, and both write their initials, before anything goes on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """Steps of one place and hour, in order."""

    title: str
    steps: tuple[Tick, ...]


def checklist(sheet: Sheet, rules: RangeResult) -> tuple[Chapter, ...]:
    """Return every chapter, in the order they are worked through, in the units of the sheet."""
    shown = Shown(us_units=sheet.vehicle.us_units)
    chapters = (
        ("On another day: the ground test, with someone licensed and practised", _ground_tests(sheet, shown)),
        ("The evening before", _before(sheet, shown)),
        ("Packing", _packing(sheet, shown)),
        ("Charges: no power on, faces away, nobody else near", _charges(sheet, shown)),
        ("Closing", _closing(sheet)),
        ("On the pad, the rail upright, everyone back", _pad(sheet, rules, shown)),
        ("If it does not light", _misfire(sheet, rules.limits, shown)),
        ("After landing", _after(sheet)),
    )
    return tuple(Chapter(title=title, steps=tuple(steps)) for title, steps in chapters)


def _ground_tests(sheet: Sheet, shown: Shown) -> Iterator[Tick]:
    """Shots to make of every charge, with room for what came of them; entered shots are told."""
    for bay in sheet.recovery.bay:
        charges = [one for one in sheet.recovery.charge if one.bay == bay.name]
        told = [f"{one.name}, {_weight(test.powder, shown)}" for one in charges for test in one.ground_test]
        if told:
            yield Tick(
                text=f"{bay.name}: shots in the sheet ({'; '.join(told)}) were of this joint, pack, pins"
            )
        if any(one.powder for one in charges):
            for shot in planned_shots(charges):
                powder = shown.plain(shot.powder_kg, Dimension.MASS)
                yield Tick(
                    text=f"{bay.name}, {shot.charge}: {planned_words(shot)}, {powder}."
                    " Parted: yes / no. Speed: ______ Canopy out, unhurt: ______ Date: ______",
                    stops=True,
                )
    if sheet.recovery.charge:
        yield Tick(text="Every shot entered in the sheet as ground_test: the check's caution goes with it")


def _weight(powder: Quantity, shown: Shown) -> str:
    return shown.plain(powder.value, Dimension.MASS)


def _before(sheet: Sheet, shown: Shown) -> Iterator[Tick]:
    for battery in sheet.electronics.battery:
        yield Tick(text=f"{battery.name}: charged and measured under load, not plugged in")
    for rod in sheet.rod:
        yield Tick(text=_rod(rod, shown))
    for part in sheet.part:
        if part.glued or part.dowels:
            yield Tick(text=f"{part.name}: its joint looked at all round, no crack, no play")
    yield Tick(text="Weighed and hung as packed, no igniter in a motor, no charge connected; in the sheet")
    yield Tick(text="finial check run on the sheet as built; its verdict read, not remembered", stops=True)


def _rod(rod: RodEntry, shown: Shown) -> str:
    name = rod.name or f"{rod.thread} rods"
    if rod.preload is None:
        return f"{name}: nuts on, locked"
    return f"{name}: each tightened to {shown.plain(rod.preload.value, Dimension.FORCE)}, nuts locked"


def _packing(sheet: Sheet, shown: Shown) -> Iterator[Tick]:
    recovery = sheet.recovery
    for cord in recovery.cord:
        ends = " and ".join(cord.tied_to) if cord.tied_to else "both halves"
        length = shown.length(cord.length.value)
        yield Tick(text=f"{cord.name}, {length}: whole all along, tied to {ends}, links closed and locked")
    for bay in recovery.bay:
        yield from _bay(sheet, bay, shown)


def _bay(sheet: Sheet, bay: BayEntry, shown: Shown) -> Iterator[Tick]:
    for canopy in sheet.recovery.canopy:
        if canopy.bay == bay.name:
            wrapped = ", in its protector" if canopy.protector else ""
            size = shown.length(canopy.diameter.value)
            yield Tick(
                text=f"{canopy.name}, {size}: lines free, folded{wrapped}, laid into {bay.name}",
                stops=True,
            )


def _closing(sheet: Sheet) -> Iterator[Tick]:
    for port in sheet.electronics.port:
        yield Tick(text=f"{port.name}: all {len(port.holes)} holes open, no tape, no paint, no burr")
    for joint in sheet.recovery.joint:
        pins = (
            f"{joint.pins.count} x {joint.pins.screw} in, no other screw"
            if joint.pins
            else "no pins in the sheet"
        )
        yield Tick(text=f"{joint.name}: closed, {pins}", stops=True)


def _charges(sheet: Sheet, shown: Shown) -> Iterator[Tick]:
    for switch in sheet.electronics.switch:
        yield Tick(text=f"{switch.name}, {switch.kind}: {moves(switch).off}", stops=True)
    for told in _leads(sheet):
        yield Tick(text=told)
    for charge in sheet.recovery.charge:
        yield Tick(text=_charge(sheet, charge, shown), stops=True)
        if charge.backup_of:
            yield Tick(
                text=f"{charge.name}: its delay after {charge.backup_of}, read off its computer: ______ s"
            )


def _leads(sheet: Sheet) -> Iterator[str]:
    """List ends of wires that no current has shown to hold yet, before a charge hangs on them."""
    for igniter in sheet.electronics.igniter:
        wire = f", gauge {igniter.wire.gauge}" if igniter.wire else ""
        count = f", {igniter.connectors} connectors" if igniter.connectors else ""
        yield f"{igniter.name}: lead whole{wire}{count}, every crimp and terminal pulled by hand"
    plugs = [name for one in (*sheet.electronics.computer, *sheet.electronics.igniter) for name in one.plugs]
    yield from (f"{name}: pushed home and locked" for name in dict.fromkeys(plugs))


def _charge(sheet: Sheet, charge: PowderChargeEntry, shown: Shown) -> str:
    powder = shown.plain(charge.powder.value, Dimension.MASS) if charge.powder else "powder as weighed out"
    fired = [one for one in sheet.electronics.igniter if one.fires == charge.name]
    by = "; ".join(f"{one.name} to {one.computer}, {_when(one.event, shown)}" for one in fired)
    backup = f", backup of {charge.backup_of}" if charge.backup_of else ""
    return f"{charge.name}{backup}: {powder} in {charge.bay}; {by or 'no igniter in the sheet'}"


def _when(event: EventEntry, shown: Shown) -> str:
    if event.falling_through is not None:
        return f"set to {shown.length(event.falling_through.value)} falling"
    if event.after_lift_off is not None:
        return f"set to {shown.plain(event.after_lift_off.value, Dimension.TIME)} after lift-off"
    return "set to apogee"


def _pad(sheet: Sheet, rules: RangeResult, shown: Shown) -> Iterator[Tick]:
    launch, limits = sheet.launch, rules.limits
    lean = f"{shown.angle(launch.tilt.value)} towards {bearing(launch.toward.value)}"
    yield Tick(text="Slides the whole rail by hand without catching")
    most = as_read(limits, "tilt", shown.angle(limits.tilt_rad))
    yield Tick(text=f"Rail raised and locked, leaning {lean}; no more than {most}")
    wind = as_read(limits, "wind", shown.wind(limits.wind_m_s))
    yield Tick(
        text=f"Wind measured, no more than {wind}{_in_the_hand(launch, shown)}; finial day says go",
        stops=True,
    )
    if limits.licensed_operator:
        yield Tick(text="Somebody whom the state licensed supervises, and is named on the card", stops=True)
    if limits.sight_above_m is not None:
        yield Tick(text=f"Clear sight above the pad for {shown.length(limits.sight_above_m)} at least")
    yield Tick(text=f"Nobody nearer than {shown.length(rules.minimum_distance_m)} but who arms it")
    for computer in sheet.electronics.computer:
        yield Tick(text=f"{computer.name}: {_armed(sheet, computer)}; it reports every igniter", stops=True)
    if len(sheet.electronics.computer) > 1:
        yield Tick(text="All computers show one height and a full battery; if they disagree: off again, down")
    yield Tick(text="Igniter into the motor, last of all; leads clipped with the key out", stops=True)
    yield Tick(text="Handed to the range safety officer, who has the last word", stops=True)


def _in_the_hand(launch: LaunchEntry, shown: Shown) -> str:
    """Say what share of the wind at 10 m a meter shows lower down; nothing where houses stand round it."""
    ground = terrain_named(launch.terrain)
    try:
        share = log_law_wind(HAND_M, 1.0, ground.roughness_m)
    except OutsideRange:
        return " at 10 m"
    return f" at 10 m (a meter held {shown.height(HAND_M)} up shows {share:.2f} of it over {ground.name})"


def _armed(sheet: Sheet, computer: ComputerEntry) -> str:
    if not computer.arming:
        return "it has no switch in the sheet and is live once plugged in"
    return ", then ".join(_group(sheet, group, "arms") for group in computer.arming)


def _group(sheet: Sheet, names: Sequence[str], which: Literal["arms", "off"]) -> str:
    """Say what is done to the switches of a group; side by side each of them arms alone."""
    switches = {switch.name: switch for switch in sheet.electronics.switch}
    done = " and ".join(f"{name} {getattr(moves(switches[name]), which)}" for name in names)
    return f"{done} (either arms it)" if len(names) > 1 and which == "arms" else done


def _misfire(sheet: Sheet, limits: CodeLimits, shown: Shown) -> Iterator[Tick]:
    wait = as_read(limits, "misfire wait", shown.plain(limits.misfire_wait_s, Dimension.TIME))
    yield Tick(text=f"Key out, nobody moves for {wait}, then on the officer's word only")
    yield Tick(text="Igniter out of the motor first")
    yield from _disarmed(sheet)


def _after(sheet: Sheet) -> Iterator[Tick]:
    yield Tick(text="Looked at from a distance: every charge fired? Photograph before anything is touched")
    charges = ", ".join(charge.name for charge in sheet.recovery.charge)
    if charges:
        yield Tick(text=f"Unfired charges ({charges}) are live: one goes near, from the side", stops=True)
    yield from _disarmed(sheet)
    yield Tick(text="Cord, lip, lines, fins, joints looked at; what gave way written down; logs read out")


def _disarmed(sheet: Sheet) -> Iterator[Tick]:
    """Switch off in the opposite order of arming."""
    for computer in reversed(sheet.electronics.computer):
        off = ", then ".join(
            _group(sheet, tuple(reversed(group)), "off") for group in reversed(computer.arming)
        )
        yield Tick(text=f"{computer.name}: {off or 'battery unplugged'}", stops=True)
