"""What the columns of a log are: a small TOML file beside it."""

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, StringConstraints, model_validator

from finial.core.dimensions import Dimension, Unit, find_unit, likely_unit
from finial.core.errors import Fault, LogError
from finial.core.units import Quantity, wanted
from finial.files.faults import read_record
from finial.files.fields import Measured, Name, Record, SomeRatio, Text, YesNo, as_written, refusal
from finial.files.source import TomlSource

NOT_ANSWERED = "?"
"""What the guesser writes where the log does not tell."""
MAPPING_ENDING = ".toml"


def _number_as_text(given: object) -> object:
    """Let a number stand for the column of that number."""
    return str(given) if isinstance(given, int) and not isinstance(given, bool) else given


Column = Annotated[Name, BeforeValidator(_number_as_text)]
"""Its heading, or its number counted from 1."""
UnitName = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=20)]
Axis = Literal["+x", "-x", "+y", "-y", "+z", "-z"]
_ONE = Quantity(value=1.0, text="1")


class TimeColumn(Record):
    """When each row was written."""

    column: Column | None = None
    """Column of the time; without one, rows follow one another by step."""
    unit: UnitName = "s"
    """Unit of time that the column counts in."""
    per_unit: SomeRatio = _ONE
    """Counts of the column in one unit: 1000 where a column in s counts thousandths."""
    wraps_at: SomeRatio | None = None
    """Count at which the counter begins again from 0."""
    step: Annotated[Quantity, Measured(dimension=Dimension.TIME, above=0, maximum=10)] | None = None
    """Time from row to row where no column tells it."""

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        if (self.column is None) == (self.step is None):
            raise refusal("column and step", 'one of column = "time" and step = "10 ms"')
        return self


class ValueColumn(Record):
    """One column of numbers."""

    column: Column
    """Its heading, or its number counted from 1."""
    unit: UnitName
    """Unit that the column counts in."""
    per_unit: SomeRatio = _ONE
    """Counts of the column in one unit: 2048 where the sensor gives 2048 for 1 g."""


class HeightColumn(ValueColumn):
    """Height as the recorder computed it, above the pad or the sea: only its change counts."""

    measured_by: Literal["pressure", "satellites"] = "pressure"
    """What the recorder had it from: one that has it from the pressure takes the air for standard."""


class PositionColumns(Record):
    """Places by a satellite receiver, in degrees; north and east count above zero."""

    latitude: Column
    longitude: Column
    per_unit: SomeRatio = _ONE
    """Counts of a column in one degree: 10000000 where a receiver gives whole numbers."""


class AxesColumns(Record):
    """Up to three columns, one an axis of the sensor."""

    x: Column | None = None
    """Column of the sensor's own x axis."""
    y: Column | None = None
    """Column of the sensor's own y axis."""
    z: Column | None = None
    """Column of the sensor's own z axis."""
    unit: UnitName
    """Unit that the columns count in."""
    per_unit: SomeRatio = _ONE
    """Counts of a column in one unit."""
    up: Axis
    """Axis of the sensor that points to the vehicle's tip."""

    @model_validator(mode="after")
    def _has_the_axis_up(self) -> Self:
        if getattr(self, self.up[1]) is None:
            raise refusal(as_written(self.up), f"an axis that has a column: {self.up[1]} has none")
        return self

    @property
    def columns(self) -> tuple[Column | None, Column | None, Column | None]:
        """Columns of the three axes."""
        return self.x, self.y, self.z


class AccelerationColumns(AxesColumns):
    """The accelerometer."""

    range: UnitName | None = None
    """Largest that it can tell, such as "16 g": what reads as much was more."""
    at_rest: Literal["1 g", "0 g"] = "1 g"
    """What the axis up reads on the pad: 0 g where the recorder took the weight off."""


class LogMapping(Record):
    """What the columns of a log are; needs the time, and a pressure, a height or an acceleration."""

    note: Text = ""
    """For whoever opens the file; nothing is computed from it."""
    separator: Literal["comma", "semicolon", "tab", "blank"] | None = None
    """What stands between two cells; found from the first lines without it."""
    decimal_comma: YesNo = False
    """True where 1,5 is one and a half."""
    time: TimeColumn
    pressure: ValueColumn | None = None
    """Air pressure inside the bay of the electronics."""
    height: HeightColumn | None = None
    """Height as the recorder computed it, above the pad or the sea: only its change counts."""
    position: PositionColumns | None = None
    """Places by a satellite receiver."""
    acceleration: AccelerationColumns | None = None
    turning: AxesColumns | None = None
    """Rates of turn, about the axes of the sensor, right-handed."""

    @model_validator(mode="after")
    def _holds_something(self) -> Self:
        if self.pressure is None and self.height is None and self.acceleration is None:
            raise refusal("none of the three", "a [pressure], [height] or [acceleration] to read")
        return self


_UNITS = {
    "time": Dimension.TIME,
    "pressure": Dimension.PRESSURE,
    "height": Dimension.LENGTH,
    "acceleration": Dimension.ACCELERATION,
    "turning": Dimension.TURN_RATE,
}


def read_mapping(path: Path) -> LogMapping:
    """Read what the columns of a log are.

    Raises
    ------
    LogError
        With all faults in it: keys unknown or missing, units that do not fit, guesses not answered.
    """
    mapping, source = read_record(path, LogMapping, LogError)
    faults = [fault for table, kind in _UNITS.items() for fault in _unit_faults(source, mapping, table, kind)]
    if faults:
        raise LogError(faults)
    return mapping


def unit_of(mapping: LogMapping, table: str) -> Unit:
    """Return the unit of a table that the mapping has; reading it has made sure that it is known."""
    found = find_unit(getattr(mapping, table).unit, _UNITS[table])
    assert found is not None
    return found


def range_si(columns: AccelerationColumns) -> float | None:
    """Largest reading of the accelerometer [m/s2], where it is told."""
    return None if columns.range is None else _range(columns.range)


def _range(text: str) -> float | None:
    number, _, spelling = text.partition(" ")
    unit = find_unit(spelling.strip(), Dimension.ACCELERATION)
    try:
        size = float(number)
    except ValueError:
        return None
    return None if unit is None or not 0.0 < size < 1e6 else size * float(unit.factor)


def _unit_faults(source: TomlSource, mapping: LogMapping, table: str, kind: Dimension) -> Iterator[Fault]:
    columns = getattr(mapping, table)
    if columns is None:
        return
    if find_unit(columns.unit, kind) is None:
        meant = likely_unit(columns.unit, kind)
        asked = "the log did not tell the unit: answer it" if columns.unit == NOT_ANSWERED else ""
        slip = asked or (f"did you mean '{meant.symbol}'?" if meant else "")
        yield source.fault(
            (table, "unit"), given=as_written(columns.unit), accepted=wanted(kind), likely_slip=slip
        )
    if (
        isinstance(columns, AccelerationColumns)
        and columns.range is not None
        and _range(columns.range) is None
    ):
        yield source.fault(
            (table, "range"), given=as_written(columns.range), accepted='an acceleration, such as "16 g"'
        )
