"""Flights of one vehicle kept in ``logbook/`` beside its sheet: what they told, what was changed."""

import re
from collections.abc import Iterable
from pathlib import Path

from finial.core.errors import Fault, LogError
from finial.core.units import Quantity
from finial.files.edit import toml_value
from finial.files.faults import read_record
from finial.files.fields import (
    Name,
    Ratio,
    Record,
    SignedLength,
    SomeArea,
    SomeLength,
    SomeRatio,
    Text,
    Time,
    YesNo,
)
from finial.files.flight_log.curves import KeptCurves, curves_bytes
from finial.files.write import write_atomically

FOLDER = "logbook"
ENDING = ".toml"
MOST_FLIGHTS = 500
_NAME = re.compile(r"[\w][\w .-]{0,79}")


class KeptCanopy(Record):
    """One canopy as one flight told it, each number give or take what holds nineteen in twenty."""

    name: Name
    """As in the sheet."""
    drag_area: SomeArea | None = None
    """Drag coefficient times area."""
    delay: Time | None = None
    """From its event until it is out."""
    height: SomeLength | None = None
    """Above ground, of its event."""


class KeptFlight(Record):
    """One flight of the logbook."""

    vehicle: Name
    """Name of the vehicle, as its sheet had it."""
    logs: tuple[Name, ...]
    repaired: Text = ""
    """What was repaired before this flight; nothing is computed from it."""
    changed: Text = ""
    """What was changed since the flight before; nothing is computed from it, see no_longer."""
    no_longer: tuple[Text, ...] = ()
    """Numbers that flights before this one no longer tell, such as "drag" or "canopy main"."""
    left_out: YesNo = False
    """True where the flight shall not count for the next prediction."""
    apogee: SomeLength | None = None
    """Above the pad, by the log; nothing is computed from it."""
    predicted: SomeLength | None = None
    """The same by the prediction made for that day."""
    misfit: SomeRatio | None = None
    """How far the corrected model missed the log, over the sensors' noise."""
    drag: SomeRatio | None = None
    """Factor on the computed drag, give or take what holds nineteen in twenty, by this flight alone."""
    pressure_centre: SignedLength | None = None
    """How far aft of the computed the centre of pressure lies, by this flight alone."""
    friction: Ratio | None = None
    """Of the buttons on the rail, give or take the same, by this flight alone."""
    canopy: tuple[KeptCanopy, ...] = ()
    """What this flight alone tells of the canopies."""


def kept_flights(sheet: Path) -> tuple[tuple[str, KeptFlight], ...]:
    """Read all flights kept beside a sheet, by name, in the order of their names.

    Raises
    ------
    LogError
        With all faults of the first file that has some.
    """
    folder = sheet.parent / FOLDER
    if not folder.is_dir():
        return ()
    files = sorted(folder.glob(f"*{ENDING}"))
    if len(files) > MOST_FLIGHTS:
        given = f"{len(files)} flights"
        raise LogError(
            [Fault(file=str(folder), field="logbook", given=given, accepted=f"at most {MOST_FLIGHTS}")]
        )
    return tuple((file.stem, read_record(file, KeptFlight, LogError)[0]) for file in files)


def keep(sheet: Path, name: str, flight: KeptFlight, curves: KeptCurves) -> Path:
    """Write a flight into the logbook, with the curves of its log and prediction beside it.

    Raises
    ------
    LogError
        If the name is none for a file, or one of that name is kept already.
    """
    path = sheet.parent / FOLDER / f"{name}{ENDING}"
    if not _NAME.fullmatch(name) or name.endswith((".", " ")):
        raise LogError([_refused(path, name, "letters, digits, blanks, dots and dashes, at most 80")])
    if path.exists():
        raise LogError([_refused(path, "a flight of that name", "another name: no flight is overwritten")])
    path.parent.mkdir(exist_ok=True)
    write_atomically(curves_of(sheet, name), curves_bytes(curves))
    write_atomically(path, _text(flight).encode())
    return path


def curves_of(sheet: Path, name: str) -> Path:
    """Where the curves of a kept flight stand."""
    return sheet.parent / FOLDER / f"{name}.curves.json"


def _refused(path: Path, given: str, accepted: str) -> Fault:
    return Fault(file=str(path), field="keep", given=given, accepted=accepted)


def _text(flight: KeptFlight) -> str:
    """Write it for people to read and mend."""
    lines = [
        "# One flight. Say here what was repaired and what changed. A number that a change makes void for",
        '# flights before goes into no_longer, such as "drag" or "canopy main". With left_out = true this',
        "# one does not count for the next prediction.",
        f"vehicle = {toml_value(flight.vehicle)}",
        f"logs = {toml_value(list(flight.logs))}",
        f"repaired = {toml_value(flight.repaired)}",
        f"changed = {toml_value(flight.changed)}",
        f"no_longer = {toml_value(list(flight.no_longer))}",
        f"left_out = {toml_value(flight.left_out)}",
    ]
    given = (("apogee", flight.apogee), ("predicted", flight.predicted), ("misfit", flight.misfit))
    vehicle = (("pressure_centre", flight.pressure_centre), ("friction", flight.friction))
    lines += _lines((*given, ("drag", flight.drag), *vehicle))
    for one in flight.canopy:
        told = (("drag_area", one.drag_area), ("delay", one.delay), ("height", one.height))
        lines += ["", "[[canopy]]", f"name = {toml_value(one.name)}", *_lines(told)]
    return "\n".join(lines) + "\n"


def _lines(told: Iterable[tuple[str, Quantity | None]]) -> list[str]:
    return [f"{key} = {toml_value(value.text)}" for key, value in told if value is not None]
