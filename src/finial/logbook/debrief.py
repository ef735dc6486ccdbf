"""One flight of the sheet's vehicle by its logs: told, compared, put back into the model."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from finial.assemble.vehicle.loading import Vehicle
from finial.files.flight_log.read import FlightLog
from finial.logbook.compare import Comparison, compared
from finial.logbook.prediction import Prediction, predicted
from finial.logbook.reading import reading
from finial.logbook.refit import Refit, refit
from finial.logbook.sheet_changes import SheetChanges, sheet_changes
from finial.logbook.story import Story, story


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Debrief:
    """What the logs of one flight say; equal only to itself."""

    vehicle: Vehicle
    prediction: Prediction
    stories: tuple[Story, ...]
    """One a log, in the order they were given; numbers are compared with the first."""
    refit: Refit
    comparison: Comparison
    changes: SheetChanges


def debrief(vehicle: Vehicle, logs: Sequence[FlightLog]) -> Debrief:
    """Tell, compare and refit the logs of one flight.

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
    found = refit(stories, inputs, spread)
    return Debrief(
        vehicle=vehicle,
        prediction=foreseen,
        stories=stories,
        refit=found,
        comparison=compared(stories[0], found, inputs, spread.wind_speed_m_s),
        changes=sheet_changes(vehicle, found, ", ".join(Path(log.file).name for log in logs)),
    )
