"""What the records of the recovery are called, and what their doubts say, in the builder's units."""

from collections.abc import Iterator

from finial.assemble.recovery.records import (
    Barometer,
    EventRow,
    Happening,
    OrderStudy,
    PinStudy,
    PlannedShot,
    Shot,
    ShotPurpose,
    ShotSaid,
    ShotTold,
)
from finial.assemble.recovery.results import (
    EarlyPull,
    LandingPiece,
    PackDoubt,
    PackDoubtKind,
    PullKind,
    RecoveryResult,
)
from finial.core.dimensions import Dimension
from finial.electronics.wiring import Moment, Trigger
from finial.flight.trace import EventKind
from finial.recovery.packs.packing import Fit
from finial.report.shown import Shown

HEAD_END = 0.4
"""A joint ahead of this share of the length is called head-end, one behind it mid-body [-]."""
FAST_MACH = 0.8
"""Above this a barometer needs its lock-out [-]; common practice."""
FITS = {
    Fit.LOOSE: "loose, slides by itself",
    Fit.BY_HAND: "packed by hand",
    Fit.PRESSED: "must be pressed in",
    Fit.TOO_MUCH: "more than the bay holds",
}
PIECES = {LandingPiece.WHOLE: "the whole", LandingPiece.HEAVIEST: "its heaviest piece"}
ALL_AT_ONCE = "all at the same instant"
_DOUBTS = {
    PackDoubtKind.NARROW_MOUTH: "The mouth, {length}, is narrower than the pack: it must squeeze through.",
    PackDoubtKind.SLENDER_BAY: "The bay is {number:.1f} diameters long: push a pack by hand on its far end"
    " and see whether it slides.",
    PackDoubtKind.NO_PROTECTOR: "No protector is entered for {name}: the flame reaches the cloth.",
    PackDoubtKind.SHORT_INSIDE: "{name}: only {length} run from the bay to the canopy's knot, less than two"
    " bays' length: the canopy hangs at the mouth and may be held by it.",
    PackDoubtKind.CORD_NOT_WEIGHED: "Mass of {name} is not known: the pack is heavier than this.",
    PackDoubtKind.NO_CORD: "No cord is entered for this joint: nothing pulls the canopy out but the charge.",
}
_PULLS = {
    PullKind.DRAG: "drag and inertia at burnout",
    PullKind.SPRINGBACK: "spring back of the body when the thrust stops",
    PullKind.OPENING: "opening of {canopy}",
    PullKind.TRAPPED_AIR: "trapped air",
}
_PURPOSES = {
    ShotPurpose.AS_FLOWN: "{charge} as flown",
    ShotPurpose.AGAIN: "{charge} as flown, again",
    ShotPurpose.LESS: "four fifths of it, to see what is to spare",
}
_SAID = {
    ShotSaid.HOLDS_AT_LEAST: "{powder} did not open the joint: it holds at least what that charge pushes.",
    ShotSaid.HOLDS_AT_MOST: "{powder} opened the joint: it holds at most what that charge pushes.",
    ShotSaid.POWDER_SHARE: "{powder} parted it at {speed}: the powder does {share} of what the model says,"
    " and the numbers above use that.",
}
_EVENTS = {0: "no event", 1: "single event", 2: "two events"}


def doubt_words(doubt: PackDoubt, shown: Shown) -> str:
    """Say what may keep a pack in."""
    length = shown.length(doubt.number)
    return _DOUBTS[doubt.kind].format(name=doubt.name, number=doubt.number, length=length)


def pull_words(pull: EarlyPull) -> str:
    """Name what pulls at a joint before its charge."""
    return _PULLS[pull.kind].format(canopy=pull.canopy)


def pins_words(pins: PinStudy) -> str:
    """Count and screw."""
    return f"{pins.count} x {pins.screw}" if pins.screw else "none"


def shot_words(shot: Shot) -> str:
    """Name what fires."""
    return shot.charge or ALL_AT_ONCE


def planned_words(shot: PlannedShot) -> str:
    """Name a shot of the ground test."""
    return _PURPOSES[shot.purpose].format(charge=shot.charge)


def told_words(told: ShotTold, shown: Shown) -> str:
    """Say what a shot on the ground changed."""
    share = told.share
    percent = f"{100 * share.value:.0f} % ({100 * share.low:.0f} to {100 * share.high:.0f})" if share else ""
    return _SAID[told.said].format(
        powder=shown.plain(told.powder_kg, Dimension.MASS),
        speed="" if told.speed_m_s is None else shown.speed(told.speed_m_s),
        share=percent,
    )


def moment_words(moment: Moment, shown: Shown) -> str:
    """Say when something is fired."""
    if moment.trigger is Trigger.FALLING:
        return f"falling through {shown.height(moment.value)}"
    return f"{moment.value:g} s after lift-off" if moment.trigger is Trigger.CLOCK else "apogee"


def event_words(row: EventRow, shown: Shown) -> str:
    """Say what happens."""
    if row.kind is Happening.TUMBLES:
        return "parts; falls tumbling from here"
    if row.kind is Happening.CHARGE:
        when = f" ({moment_words(row.moment, shown)})" if row.moment else ""
        return f"{row.name} fires{when}"
    return f"{row.name} {row.kind}".strip()


def barometer_words(row: EventRow, shown: Shown) -> str:
    """Say what a barometer sees."""
    if row.barometer is Barometer.SHOCKS:
        return "shock waves: not to be trusted"
    if row.barometer is Barometer.STEADY:
        return "steady, the top or the ground"
    rate = shown.plain(abs(row.pressure_rate_pa_s), Dimension.PRESSURE)
    behind = "" if row.lag_m is None else f", up to {shown.height(row.lag_m)} behind"
    return f"{'rising' if row.pressure_rate_pa_s > 0 else 'falling'} {rate} a second{behind}"


def accelerometer_words(row: EventRow) -> str:
    """Say what an accelerometer feels."""
    felt = f"{row.felt_g:.1f} g"
    if row.kind is Happening.CHARGE:
        return f"{felt}, then the kick of the charge"
    if row.kind in (EventKind.OUT, EventKind.OPEN):
        return f"{felt}; jerks of the cord come on top"
    return felt


def kind_words(order: OrderStudy) -> str:
    """Say what kind of recovery the sheet describes."""
    bare = ("drogue-less: the first event only breaks the body apart",) if order.parts_bare else ()
    places = (
        f"{joint.name}, {'head-end' if joint.share < HEAD_END else 'mid-body'}" for joint in order.joints
    )
    return "; ".join([_EVENTS.get(order.events, f"{order.events} events"), *bare, *places])


def order_notes(order: OrderStudy, recovery: RecoveryResult, shown: Shown) -> Iterator[str]:
    """Say what to mind about the order of events."""
    yield from _tumbling(recovery, shown)
    if order.burnout_s is not None and order.apogee_s is not None:
        yield (
            f"Between burnout at {order.burnout_s:.1f} s and the top at {order.apogee_s:.1f} s nothing may "
            "fire; computers lock out until the speed has fallen."
        )
    if order.top_mach > FAST_MACH:
        yield "It passes Mach 0.8: a barometric computer needs its lock-out set beyond that."
    if order.backup_at_once:
        yield (
            "The backup has the same event as the first charge: set it a second later in its computer, or "
            "both may fire in the same instant."
        )
    if order.no_delay:
        yield "No delay is entered between charge and canopy: it takes some tenths of a second."


def _tumbling(recovery: RecoveryResult, shown: Shown) -> Iterator[str]:
    """Say how the parted pieces fall, and how each canopy then opens."""
    fall = recovery.tumbling_speed
    if fall is None:
        return
    yield (
        f"The parted vehicle falls tumbling at {shown.between(fall, Dimension.SPEED)} near the ground, by an "
        "assumed drag on its planform: watch a drop or a first flight before trusting it."
    )
    for canopy in recovery.canopies:
        yield (
            f"{canopy.name} opens out of that fall at {shown.speed(canopy.opening_speed_m_s)} and pulls with "
            f"{shown.between(canopy.opening_load, Dimension.FORCE)}."
        )
