"""What several kept flights of one vehicle tell together, and what the next one's band becomes from them."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any, Literal

from finial.assemble.vehicle.canopies import drag_area
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy
from finial.core.statistics import NINETY, NINETY_FIVE
from finial.core.together import PooledMean, together
from finial.core.units import Quantity, parse_quantity
from finial.files.flight_log.kept import KeptCanopy, KeptFlight
from finial.logbook.refit import Learnt
from finial.logbook.sheet_changes import centre_shift_m, drag_factor, not_below_none
from finial.logbook.unknowns import Unknown, UnknownKind

NumberTold = Literal["drag", "canopy", "delay", "height", "centre", "friction"]
"""Numbers that stay with the vehicle from flight to flight; a motor's and a day's do not."""
THIS = "this flight"
_FINEST = 1e-4
_SHARES: tuple[NumberTold, ...] = ("drag", "canopy")
"""Numbers whose deviations below are shares of them."""
_WORTH: dict[NumberTold, float] = {
    "drag": 0.25,
    "canopy": 0.25,
    "delay": 0.5,
    "height": 15.0,
    "centre": 0.1,
    "friction": 0.1,
}
"""A flight that knows a share, seconds, metres, a coefficient less well than this does not count; assumed."""
_SCATTER: dict[NumberTold, float] = {
    "drag": 0.02,
    "canopy": 0.02,
    "delay": 0.05,
    "height": 2.0,
    "centre": 0.002,
    "friction": 0.02,
}
"""Assumed: no two flights of one vehicle fly alike to better than this."""
_KINDS: dict[NumberTold, UnknownKind] = {
    "drag": UnknownKind.DRAG,
    "canopy": UnknownKind.CANOPY,
    "delay": UnknownKind.DELAY,
    "height": UnknownKind.HEIGHT,
    "centre": UnknownKind.CENTRE,
    "friction": UnknownKind.FRICTION,
}
_WHATS: dict[UnknownKind, NumberTold] = {kind: what for what, kind in _KINDS.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberByOne:
    """One number of the vehicle as one flight alone told it."""

    what: NumberTold
    canopy: str = ""
    value: float
    """Drag as a factor on the computed, drag area [m^2], delay [s], height [m], how far aft of the computed
    the centre of pressure lies [m], friction on the rail [-]."""
    sigma: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """One flight's word on a number."""

    flight: str
    told: NumberByOne


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberByAll:
    """One number of the vehicle by all flights that count."""

    what: NumberTold
    canopy: str
    flights: tuple[Counted, ...]
    together: PooledMean


def told_by(vehicle: LoadedVehicle, learnt: Iterable[Learnt]) -> tuple[NumberByOne, ...]:
    """Say what the logs of one flight alone tell of the vehicle, in numbers that outlive the sheet's.

    What the sheet knew before is taken out again, or it would count anew with every flight.
    """
    found: list[NumberByOne] = []
    for one in learnt:
        what = _WHATS.get(one.unknown.kind)
        information = one.sigma**-2 - one.unknown.sigma**-2
        if what is None or not information > 1e-3 * one.sigma**-2:
            continue
        value = (one.after.value * one.sigma**-2 - one.unknown.value * one.unknown.sigma**-2) / information
        unit, base = _unit(vehicle, what, one.unknown.canopy), _base(vehicle, what)
        told = NumberByOne(
            what=what, canopy=one.unknown.canopy, value=base + value * unit, sigma=information**-0.5 * unit
        )
        if told.sigma < _of_what(_WORTH[what], what, told.value):
            found.append(told)
    return tuple(found)


def numbers_of(flight: KeptFlight) -> Iterator[NumberByOne]:
    """Numbers that a kept flight tells; a tolerance holds nineteen in twenty."""
    whole: tuple[tuple[NumberTold, Quantity | None], ...] = (
        ("drag", flight.drag),
        ("centre", flight.pressure_centre),
        ("friction", flight.friction),
    )
    yield from (_told(what, "", quantity) for what, quantity in whole if quantity is not None)
    for one in flight.canopy:
        given: tuple[tuple[NumberTold, Quantity | None], ...] = (
            ("canopy", one.drag_area),
            ("delay", one.delay),
            ("height", one.height),
        )
        yield from (_told(what, one.name, quantity) for what, quantity in given if quantity is not None)


def kept_numbers(numbers: Iterable[NumberByOne]) -> dict[str, Any]:
    """Return the same as a kept flight holds them: its own, and those of its ``canopy``."""
    told = {(one.what, one.canopy): one for one in numbers}
    names = dict.fromkeys(canopy for _, canopy in told if canopy)
    canopies = tuple(
        KeptCanopy(
            name=name,
            drag_area=_quantity(told.get(("canopy", name)), Dimension.AREA, " m2"),
            delay=_quantity(told.get(("delay", name)), Dimension.TIME, " s"),
            height=_quantity(told.get(("height", name)), Dimension.LENGTH, " m"),
        )
        for name in names
    )
    return {
        "drag": _quantity(told.get(("drag", "")), Dimension.RATIO, ""),
        "pressure_centre": _quantity(told.get(("centre", "")), Dimension.LENGTH, " m"),
        "friction": _quantity(told.get(("friction", "")), Dimension.RATIO, ""),
        "canopy": canopies,
    }


def _told(what: NumberTold, canopy: str, quantity: Quantity) -> NumberByOne:
    sigma = max(quantity.tolerance / NINETY_FIVE, _of_what(_FINEST, what, quantity.value))
    return NumberByOne(what=what, canopy=canopy, value=quantity.value, sigma=sigma)


def _quantity(told: NumberByOne | None, dimension: Dimension, unit: str) -> Quantity | None:
    if told is None:
        return None
    half = max(NINETY_FIVE * told.sigma, _FINEST * abs(told.value))
    if told.what == "friction":
        # A coefficient's tolerance may not reach below none.
        value, half = not_below_none(told.value, half)
    else:
        value = told.value if told.what == "centre" else max(told.value, 0.0)
    return parse_quantity(f"{value:.5g}{unit} +- {half:.2g}{unit}", dimension)


def joint(flights: Iterable[tuple[str, KeptFlight]]) -> tuple[NumberByAll, ...]:
    """Join what flights tell, number by number, those that a later change made void left out.

    ``flights`` stand in the order they were flown.
    """
    counted: dict[tuple[NumberTold, str], list[Counted]] = {}
    for name, flight in flights:
        for key in [key for key in counted if _named(*key) in flight.no_longer]:
            del counted[key]
        if flight.left_out:
            continue
        for told in numbers_of(flight):
            counted.setdefault((told.what, told.canopy), []).append(Counted(flight=name, told=told))
    return tuple(_joined(what, canopy, tuple(all_told)) for (what, canopy), all_told in counted.items())


def joint_learnt(
    vehicle: LoadedVehicle, joints: Iterable[NumberByAll], learnt: Iterable[Learnt]
) -> tuple[Learnt, ...]:
    """Put what several flights tell in the place of what the last one does; the rest stays the last one's.

    The interval is that of the next flight: how well the mean is known, and the scatter between flights.
    """
    by_key = {(_KINDS[one.what], one.canopy): one for one in joints}
    found: list[Learnt] = []
    for one in learnt:
        told = by_key.get((one.unknown.kind, one.unknown.canopy))
        found.append(one if told is None else _next(vehicle, one, told))
    return tuple(found)


def _joined(what: NumberTold, canopy: str, flights: tuple[Counted, ...]) -> NumberByAll:
    values = [one.told.value for one in flights]
    least = _of_what(_SCATTER[what], what, sum(values) / len(values))
    told = together(values, [one.told.sigma for one in flights], least)
    return NumberByAll(what=what, canopy=canopy, flights=flights, together=told)


def _next(vehicle: LoadedVehicle, one: Learnt, told: NumberByAll) -> Learnt:
    unit, base = _unit(vehicle, told.what, told.canopy), _base(vehicle, told.what)
    value, sigma = (told.together.mean - base) / unit, told.together.next_sigma / unit
    after = Estimate(
        value=value,
        low=max(value - NINETY * sigma, one.unknown.low),
        high=min(value + NINETY * sigma, one.unknown.high),
        known_by=KnownBy.MEASURED,
        method=f"logs of {len(told.flights)} flights",
    )
    return replace(
        one,
        after=after,
        sigma=sigma,
        fixed=1.0 - sigma / one.unknown.sigma,
        flights=len(told.flights),
    )


def _unit(vehicle: LoadedVehicle, what: NumberTold, canopy: str) -> float:
    """Return what a factor of this sheet is of: its own drag factor, its own drag area."""
    if what == "drag":
        return drag_factor(vehicle)
    if what == "canopy":
        entries = {entry.name: entry for entry in vehicle.sheet.recovery.canopy}
        return drag_area(entries[canopy]).value
    return 1.0


def _base(vehicle: LoadedVehicle, what: NumberTold) -> float:
    """Return what a number of this sheet counts from: its own shift of the centre of pressure [m]."""
    return centre_shift_m(vehicle) if what == "centre" else 0.0


def named(unknown: Unknown) -> str:
    """Name a number of the vehicle as ``no_longer`` does; empty for one of the motor or the day."""
    what = _WHATS.get(unknown.kind)
    return "" if what is None else _named(what, unknown.canopy)


def _named(what: NumberTold, canopy: str) -> str:
    return f"{what} {canopy}".strip()


def _of_what(deviation: float, what: NumberTold, value: float) -> float:
    """Return a deviation that is a share of some numbers and a size of the others."""
    return deviation * (abs(value) if what in _SHARES else 1.0)
