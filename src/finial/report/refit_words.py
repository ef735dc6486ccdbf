"""Words for what a log corrects in the model, and for why a difference came about."""

from finial.core.dimensions import Dimension
from finial.logbook.another import AnotherSign, Evidence
from finial.logbook.compare import Cause, ComparedNumber, Difference
from finial.logbook.sheet_changes import LeftAlone
from finial.logbook.unknowns import Unknown, UnknownKind
from finial.report.shown import Shown

_UNKNOWN = {
    UnknownKind.DRAG: "drag over the computed",
    UnknownKind.THRUST: "thrust over the curve",
    UnknownKind.BURN_TIME: "burn time over the curve",
    UnknownKind.FRICTION: "friction of the buttons on the rail",
    UnknownKind.CENTRE: "centre of pressure, aft of the computed",
    UnknownKind.WIND: "wind of the day",
    UnknownKind.WIND_TURN: "wind's bearing, clockwise of the sheet's",
    UnknownKind.CANOPY: "drag area of {} over the sheet's",
    UnknownKind.DELAY: "{} out after its event",
    UnknownKind.HEIGHT: "height of {}'s event",
}
_UNITS = {
    UnknownKind.WIND: Dimension.WIND_SPEED,
    UnknownKind.CENTRE: Dimension.LENGTH,
    UnknownKind.WIND_TURN: Dimension.ANGLE,
    UnknownKind.DELAY: Dimension.TIME,
}
QUANTITY = {
    ComparedNumber.APOGEE: "apogee above the pad",
    ComparedNumber.APOGEE_TIME: "apogee after lift-off",
    ComparedNumber.FASTEST: "fastest climb",
    ComparedNumber.PUSH: "largest push",
    ComparedNumber.BURNOUT: "the push ends",
    ComparedNumber.RAIL_EXIT: "speed off the rail",
    ComparedNumber.SEPARATION: "separation",
    ComparedNumber.SEPARATION_SPEED: "climb rate at separation",
    ComparedNumber.FALL: "falls steadily at",
    ComparedNumber.LANDING: "landing",
    ComparedNumber.DRIFT: "drift from the pad",
}
DIMENSIONS = {
    ComparedNumber.APOGEE: Dimension.LENGTH,
    ComparedNumber.APOGEE_TIME: Dimension.TIME,
    ComparedNumber.FASTEST: Dimension.SPEED,
    ComparedNumber.PUSH: Dimension.ACCELERATION,
    ComparedNumber.BURNOUT: Dimension.TIME,
    ComparedNumber.RAIL_EXIT: Dimension.SPEED,
    ComparedNumber.SEPARATION: Dimension.TIME,
    ComparedNumber.SEPARATION_SPEED: Dimension.SPEED,
    ComparedNumber.FALL: Dimension.SPEED,
    ComparedNumber.LANDING: Dimension.TIME,
    ComparedNumber.DRIFT: Dimension.LENGTH,
}
REASONS = {
    LeftAlone.THAT_MOTOR: "of the motor that was burnt; the next is another one",
    LeftAlone.THAT_DAY: "of that day",
    LeftAlone.NO_PLACE: "the sheet has no [guide] to put it in",
    LeftAlone.NOT_FIXED: "the log takes less than half of the doubt",
    LeftAlone.DROPPED: "the drop test in the sheet goes before it",
}
_SHORT = {
    UnknownKind.DRAG: "drag {value:.2f}x",
    UnknownKind.THRUST: "thrust {value:.3f}x",
    UnknownKind.BURN_TIME: "burn time {value:.3f}x",
    UnknownKind.FRICTION: "friction on the rail {value:.2f}",
    UnknownKind.CENTRE: "centre of pressure {told} aft of the computed",
    UnknownKind.WIND: "wind {told}",
    UnknownKind.WIND_TURN: "wind turned by {told}",
    UnknownKind.CANOPY: "{canopy}'s drag area {value:.2f}x",
    UnknownKind.DELAY: "{canopy} {told} after its event",
    UnknownKind.HEIGHT: "{canopy}'s event at {told}",
}


def unknown_words(unknown: Unknown) -> str:
    """Name a number of the model."""
    return _UNKNOWN[unknown.kind].format(unknown.canopy)


def unknown_dimension(unknown: Unknown) -> Dimension | None:
    """Say what kind of quantity it is; ``None`` for a factor."""
    return Dimension.LENGTH if unknown.kind is UnknownKind.HEIGHT else _UNITS.get(unknown.kind)


def difference_name(one: Difference, shown: Shown) -> str:
    """Name a number that log and prediction both have."""
    name = QUANTITY[one.quantity]
    return name if one.height_m is None else f"{name} (at {shown.height(one.height_m)})"


def explained(one: Difference, after: dict[str, float], shown: Shown) -> str:
    """Say in a sentence how a number differs and what explains it.

    ``after`` are the numbers of the model by their keys, as the log tells them.
    """
    gap = one.measured.value - one.predicted.value
    dimension = DIMENSIONS[one.quantity]
    size = shown.plain(abs(gap), dimension)
    share = f" ({100 * abs(gap) / abs(one.predicted.value):.0f} %)" if one.predicted.value else ""
    sense = "more" if gap > 0.0 else "less"
    name = difference_name(one, shown)
    where = "outside the band" if one.outside else "within the band"
    if not one.outside and abs(gap) <= one.measured.half_width:
        return f"{name}: {size}{share} {sense} than predicted, {where}, and no more than the log leaves open."
    told = [_cause(cause, gap, after, shown) for cause in one.causes]
    why = "; ".join(told) if told else "nothing that the model may correct explains it"
    return f"{name}: {size}{share} {sense} than predicted, {where}: {why}."


def _cause(cause: Cause, gap: float, after: dict[str, float], shown: Shown) -> str:
    unknown = cause.unknown
    value = after[unknown.key]
    within = abs(value - unknown.value) <= unknown.sigma
    told = shown.plain(value, unknown_dimension(unknown) or Dimension.RATIO)
    name = _SHORT[unknown.kind].format(value=value, told=told, canopy=unknown.canopy)
    part = 100.0 * cause.explains / gap
    scatter = ", within its scatter" if within else ""
    return f"{name} makes {part:.0f} % of it{scatter} (odds {cause.odds:.2f} that it is the most)"


def signs_words(signs: tuple[Evidence, ...]) -> str:
    """Say what speaks for another flight, the strongest first, three at most."""
    told = [_sign(one) for one in signs if one.weight > 0.0][:3]
    return "; ".join(told) if told else "nothing by itself, all of it together"


def _sign(one: Evidence) -> str:
    far = f"{abs(one.moved):.0f} times its scatter from where it was expected"
    if one.unknown is not None:
        return f"{unknown_words(one.unknown)} lies {far}"
    return _SIGNS[one.sign].format(far=far, moved=one.moved)


_SIGNS = {
    AnotherSign.LEAN: "it stood at an angle on the rail that lies {far}",
    AnotherSign.PRESSURE: "the pressure at the pad lies {far}: another field or another day",
    AnotherSign.MISFIT: "the corrected model misses the log by {moved:.1f} times the sensors' noise",
}
