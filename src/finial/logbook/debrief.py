"""One flight of the sheet's vehicle by its logs: told, compared, put back into the model."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.dimensions import Dimension
from finial.core.errors import OutsideRange
from finial.core.units import parse_quantity
from finial.files.flight_log.kept import KeptFlight
from finial.files.flight_log.read import FlightLog
from finial.flight.trace import EventKind
from finial.logbook.compare import ComparedNumber, LogComparison, compared
from finial.logbook.cord import CordThen, cords_then
from finial.logbook.prediction import Prediction, predicted
from finial.logbook.reading import reading
from finial.logbook.refit import Refit, refit
from finial.logbook.several import THIS, NumberByAll, joint, joint_learnt, kept_numbers, named, told_by
from finial.logbook.sheet_changes import SheetChanges, sheet_changes
from finial.logbook.story import Story, story
from finial.logbook.unknowns import UnknownKind
from finial.logbook.watched import Watched, without_clashes

_LATE_S = 0.5
"""Separations are followed at events half a second apart."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Debrief:
    """What the logs of one flight say; equal only to itself."""

    vehicle: LoadedVehicle
    prediction: Prediction
    videos: tuple[Watched, ...]
    stories: tuple[Story, ...]
    """One a log, in the order they were given; numbers are compared with the first."""
    refit: Refit
    joints: tuple[NumberByAll, ...]
    """What kept flights tell together with this one; none where none is kept."""
    comparison: LogComparison
    cords: tuple[CordThen, ...]
    """What the cords did, where the first canopy came out clearly off its planned time."""
    changes: SheetChanges


def debrief(
    vehicle: LoadedVehicle,
    logs: Sequence[FlightLog],
    videos: tuple[Watched, ...] = (),
    kept: Sequence[tuple[str, KeptFlight]] = (),
    *,
    draws: bool = False,
) -> Debrief:
    """Tell, compare and refit the logs of one flight, with what videos of it show.

    Flights ``kept`` before, in their order, count for what goes into the sheet and for the next flight.
    With ``draws`` the posterior is drawn too.

    Raises
    ------
    LogError
        If a log cannot be put on a clock.
    NotConverged
        If the refit does not come to rest.
    """
    foreseen = predicted(vehicle)
    stories = tuple(
        story(reading(log, foreseen.day), tilt_rad=foreseen.tilt_rad, rail_m=foreseen.rail_m) for log in logs
    )
    inputs, spread = foreseen.case.inputs, foreseen.case.spread
    found = refit(stories, inputs, spread, without_clashes(videos, stories), draws=draws)
    files = tuple(Path(log.file).name for log in logs)
    joints = _joints(vehicle, kept, found, files)
    learnt = joint_learnt(vehicle, joints, found.learnt)
    comparison = compared(stories[0], found, inputs, spread, stories[1:])
    return Debrief(
        vehicle=vehicle,
        prediction=foreseen,
        videos=videos,
        stories=stories,
        refit=found,
        joints=joints,
        comparison=comparison,
        cords=_cords(vehicle, foreseen, found),
        changes=sheet_changes(vehicle, learnt, ", ".join(files)),
    )


def _cords(vehicle: LoadedVehicle, foreseen: Prediction, found: Refit) -> tuple[CordThen, ...]:
    """Follow the cords where the first canopy came out at another time than planned: that takes seconds."""
    out = next((one for one in foreseen.trace.events if one.kind is EventKind.OUT), None)
    delay = None if out is None else found.of(UnknownKind.DELAY, out.canopy)
    if delay is None or not vehicle.sheet.recovery.cord:
        return ()
    late_s = delay.after.value - delay.unknown.value
    clear = abs(late_s) > max(_LATE_S, 2.0 * delay.sigma)
    return cords_then(vehicle, late_s) if clear else ()


def _joints(
    vehicle: LoadedVehicle, kept: Sequence[tuple[str, KeptFlight]], found: Refit, files: tuple[str, ...]
) -> tuple[NumberByAll, ...]:
    """Join kept flights with this one; one that was kept already from the same logs counts once."""
    others = [(name, flight) for name, flight in kept if flight.logs != files]
    if not others:
        return ()
    own = KeptFlight(
        vehicle=vehicle.sheet.vehicle.name, logs=files, **kept_numbers(told_by(vehicle, found.learnt))
    )
    return joint([*others, (THIS, own)])


def kept_flight(found: Debrief, *, repaired: str, changed: str, void: Sequence[str]) -> KeptFlight:
    """Make the entry of the logbook for a flight.

    Raises
    ------
    OutsideRange
        If ``void`` names a number that the vehicle does not have.
    """
    known = sorted({named(one.unknown) for one in found.refit.learnt} - {""})
    for name in void:
        if name not in known:
            raise OutsideRange(f"no number {name!r} of this vehicle: accepted are {', '.join(known)}")
    (apogee,) = (one for one in found.comparison.differences if one.quantity is ComparedNumber.APOGEE)
    return KeptFlight(
        vehicle=found.vehicle.sheet.vehicle.name,
        logs=tuple(Path(story.reading.file).name for story in found.stories),
        repaired=repaired,
        changed=changed,
        no_longer=tuple(void),
        apogee=parse_quantity(f"{apogee.measured.value:.1f} m", Dimension.LENGTH),
        predicted=parse_quantity(f"{apogee.predicted.value:.1f} m", Dimension.LENGTH),
        misfit=parse_quantity(f"{found.refit.misfit:.2f}", Dimension.RATIO),
        **kept_numbers(told_by(found.vehicle, found.refit.learnt)),
    )
