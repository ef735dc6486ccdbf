"""What a field of a build sheet may hold: quantities of one dimension, names, pairs."""

import math
import re
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, cast

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    GetCoreSchemaHandler,
    PlainValidator,
    StringConstraints,
)
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from finial.core.errors import UnitError
from finial.core.estimates import KnownBy
from finial.core.units import Dimension, Quantity, parse_quantity, show
from finial.core.visible import is_visible, visible
from finial.files.toml_places import KeyPath


class Record(BaseModel):
    """Base of every table of a sheet: frozen, and unknown keys are faults.

    The docstring below a field is its meaning, in the key reference and in editors; a field that holds
    a table may leave it to the docstring of that table.
    """

    # A place beside the fields: a copy, changed or pickled, begins without it.
    __slots__ = ("_own_hash",)
    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=True)
    WORD: ClassVar[str] = ""
    """A word that may stand in place of a table of one key; it sets the field of its name."""
    ELSEWHERE: ClassVar[tuple[tuple[str, str], ...]] = ()
    """Keys that are looked for here and stand elsewhere, and where."""

    def __hash__(self) -> int:
        """Hash all fields, once: an answer asks hundreds of times what was computed from a table."""
        try:
            return self._own_hash
        except AttributeError:
            own = hash((type(self), *self.__dict__.values()))
            object.__setattr__(self, "_own_hash", own)
            return own


def put_at(value: Any, where: KeyPath, new: object) -> Any:
    """Return a record, or a tuple of records, with what stands at a place in it replaced, unread.

    Examples
    --------
    >>> put_at((1, (2, 3)), (1, 0), 5)
    (1, (5, 3))
    """
    if not where:
        return new
    step, rest = where[0], where[1:]
    if isinstance(value, tuple):
        assert isinstance(step, int)
        entries = cast("tuple[object, ...]", value)
        return (*entries[:step], put_at(entries[step], rest, new), *entries[step + 1 :])
    assert isinstance(value, Record)
    return value.model_copy(update={str(step): put_at(getattr(value, str(step)), rest, new)})


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """Marks a field as a quantity of one dimension, with bounds in SI."""

    dimension: Dimension
    minimum: float | None = None
    above: float | None = None
    maximum: float | None = None
    within: bool = False
    """True where the low end of the tolerance may not fall below zero."""
    ends: bool = False
    """True where both ends of the tolerance must lie within the bounds."""
    station: bool = False
    """True for a station, which may also be given from an end of a part."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Tell pydantic to read the field with :meth:`read`."""
        return core_schema.no_info_plain_validator_function(self.read)

    def read(self, given: object) -> Quantity:
        """Read what stands in the sheet; a quantity already read passes."""
        if isinstance(given, Quantity):
            return given
        try:
            found = parse_quantity(
                given, self.dimension, minimum=self.minimum, above=self.above, maximum=self.maximum
            )
        except UnitError as error:
            raise refusal(error.given, error.accepted, error.likely_slip) from error
        if self.ends and not (self.minimum or 0.0) <= found.low <= found.high <= (self.maximum or math.inf):
            slip = "the part after +- is how far the number may be off"
            raise refusal(as_written(given), self._between(), slip)
        widest = found.value if self.within or self.above == 0 else float("inf")
        if found.tolerance > widest or (self.above == 0 and found.tolerance == widest):
            slip = "the part after +- is how far the number may be off, in its own unit"
            raise refusal(as_written(given), "a tolerance smaller than the number itself", slip)
        return found

    def _between(self) -> str:
        low, high = (show(end, self.dimension) for end in (self.minimum or 0.0, self.maximum or math.inf))
        return f"both ends between {low} and {high}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Names:
    """Marks a text as the name of a file, or of a row in one of the shipped tables."""

    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Spelled:
    """Marks a text that is spelled in one of a few ways."""

    pattern: str
    accepted: str

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Tell pydantic to read the text with :meth:`read`."""
        return core_schema.no_info_after_validator_function(self.read, handler(source))

    def read(self, given: str) -> str:
        """Pass a text that matches."""
        if not re.fullmatch(self.pattern, given):
            raise refusal(as_written(given), self.accepted)
        return given


def refusal(given: str, accepted: str, likely_slip: str = "") -> PydanticCustomError:
    """Build the error a validator of a sheet raises: the three things a fault says."""
    context = {"given": given, "accepted": accepted, "likely_slip": likely_slip}
    return PydanticCustomError("refusal", "{accepted}", context)


def as_written(given: object) -> str:
    """Write a value much as it stands in the file, cut short when long.

    Examples
    --------
    >>> as_written("z"), as_written(True), as_written(1.5)
    ('"z"', 'true', '1.5')
    """
    if isinstance(given, bool):
        return str(given).lower()
    return visible(f'"{given}"' if isinstance(given, str) else repr(given), _LONGEST_SHOWN)


def _known_by(given: object) -> KnownBy:
    words = [known.word for known in KnownBy]
    if isinstance(given, KnownBy):
        return given
    if given not in words:
        raise refusal(as_written(given), f"one of {', '.join(words)}")
    return KnownBy(words.index(str(given)))


def _strictly_true_or_false(given: object) -> object:
    if not isinstance(given, bool):
        raise refusal(as_written(given), "true or false, without quotes")
    return given


def _whole_number(given: object) -> object:
    if isinstance(given, bool) or not isinstance(given, int):
        raise refusal(as_written(given), "a whole number, without quotes")
    return given


def _visible_name(given: str) -> str:
    """Refuse a name that would leave its line in the report, or turn it round."""
    if not is_visible(given):
        raise refusal(as_written(given), "letters, digits, signs and blanks: nothing that is not printed")
    return given


def _visible_text(given: str) -> str:
    """Refuse what is not printed in a text of several lines."""
    if not is_visible(given.replace("\r\n", " ").replace("\n", " ").replace("\t", " ")):
        raise refusal(as_written(given), "text without anything that is not printed")
    return given


def _a(
    dimension: Dimension, *, within: bool = False, ends: bool = False, station: bool = False, **bounds: float
) -> Measured:
    return Measured(dimension=dimension, within=within, ends=ends, station=station, **bounds)


_LONGEST_SHOWN = 80
_TURN_RAD = 6.283185307179587

Text = Annotated[str, StringConstraints(max_length=2000), AfterValidator(_visible_text)]
"""For whoever reads the file; nothing is computed from it."""
Name = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=200),
    AfterValidator(_visible_name),
]
FileName = Annotated[Name, Names(what="file")]
MaterialName = Annotated[Name, Names(what="material")]
GlueName = Annotated[Name, Names(what="glue")]
ThreadName = Annotated[Name, Names(what="thread")]
PinScrewName = Annotated[Name, Names(what="shear pin")]
CanopyKindName = Annotated[Name, Names(what="canopy kind")]
CordName = Annotated[Name, Names(what="cord")]
SwitchKindName = Annotated[Name, Names(what="switch kind")]
IgniterKindName = Annotated[Name, Names(what="igniter kind")]
TerrainName = Annotated[Name, Names(what="terrain")]
CodeName = Annotated[Name, Names(what="code")]
Pedigree = Annotated[KnownBy, PlainValidator(_known_by)]
YesNo = Annotated[bool, BeforeValidator(_strictly_true_or_false)]
WholeNumber = Annotated[int, BeforeValidator(_whole_number)]

Length = Annotated[Quantity, _a(Dimension.LENGTH, minimum=0)]
SomeLength = Annotated[Quantity, _a(Dimension.LENGTH, above=0)]
FieldLength = Annotated[Quantity, _a(Dimension.LENGTH, minimum=0, maximum=100_000)]
"""A distance on the field; farther is another country, or another unit."""
SignedLength = Annotated[Quantity, _a(Dimension.LENGTH)]
Station = Annotated[Quantity, _a(Dimension.LENGTH, minimum=0, station=True)]
"""Aft of the tip; or from an end of a part, see :mod:`finial.files.part_stations`."""
SomeStation = Annotated[Quantity, _a(Dimension.LENGTH, above=0, station=True)]
SmallLength = Annotated[Quantity, _a(Dimension.LENGTH, minimum=0, maximum=0.002)]
Area = Annotated[Quantity, _a(Dimension.AREA, minimum=0)]
SomeArea = Annotated[Quantity, _a(Dimension.AREA, above=0)]
Volume = Annotated[Quantity, _a(Dimension.VOLUME, above=0)]
Mass = Annotated[Quantity, _a(Dimension.MASS, minimum=0, within=True)]
SomeMass = Annotated[Quantity, _a(Dimension.MASS, above=0)]
WallThickness = Annotated[Quantity, _a(Dimension.LENGTH, minimum=0.0001, maximum=0.02, within=True)]
"""Thinner is no wall; thicker is infill, or a wall in another unit."""
LayerHeight = Annotated[Quantity, _a(Dimension.LENGTH, minimum=0.00002, maximum=0.001, within=True)]
"""No nozzle for filament lays thicker layers; thinner ones are another unit."""
Time = Annotated[Quantity, _a(Dimension.TIME, minimum=0)]
SomeTime = Annotated[Quantity, _a(Dimension.TIME, above=0)]
Speed = Annotated[Quantity, _a(Dimension.SPEED, minimum=0)]
SomeSpeed = Annotated[Quantity, _a(Dimension.SPEED, above=0)]
Angle = Annotated[Quantity, _a(Dimension.ANGLE, minimum=-_TURN_RAD, maximum=_TURN_RAD)]
Lean = Annotated[Quantity, _a(Dimension.ANGLE, minimum=0, maximum=1.05)]
"""Of something that still runs along the vehicle: 60 degrees at most."""
HalfTurn = Annotated[Quantity, _a(Dimension.ANGLE, above=0, maximum=_TURN_RAD / 2)]
"""From one thing round to another, the shorter way."""
ReachAngle = Annotated[Quantity, _a(Dimension.ANGLE, minimum=0, maximum=_TURN_RAD / 2)]
"""How far something may be off either way."""
Tilt = Annotated[Quantity, _a(Dimension.ANGLE, minimum=0, maximum=_TURN_RAD / 4)]
MOST_RAIL_TILT_RAD = math.radians(89)
RailTilt = Annotated[Quantity, _a(Dimension.ANGLE, minimum=0, maximum=MOST_RAIL_TILT_RAD)]
"""A rail that lies flat guides nothing up."""
Temperature = Annotated[Quantity, _a(Dimension.TEMPERATURE, minimum=173.15, maximum=373.15)]
AirTemperature = Annotated[Quantity, _a(Dimension.TEMPERATURE, minimum=228.15, maximum=338.15, ends=True)]
"""Air that anybody stands in: colder or hotter is another unit."""
SofteningTemperature = Annotated[Quantity, _a(Dimension.TEMPERATURE, minimum=273.15, maximum=700.0)]
Pressure = Annotated[Quantity, _a(Dimension.PRESSURE, minimum=20_000, maximum=110_000, ends=True)]
Stress = Annotated[Quantity, _a(Dimension.PRESSURE, above=0)]
Density = Annotated[Quantity, _a(Dimension.DENSITY, above=0)]
Force = Annotated[Quantity, _a(Dimension.FORCE, minimum=0, within=True)]
SomeForce = Annotated[Quantity, _a(Dimension.FORCE, above=0)]
Impulse = Annotated[Quantity, _a(Dimension.IMPULSE, above=0)]
Voltage = Annotated[Quantity, _a(Dimension.VOLTAGE, above=0, maximum=100)]
Current = Annotated[Quantity, _a(Dimension.CURRENT, minimum=0, within=True)]
SomeAcceleration = Annotated[Quantity, _a(Dimension.ACCELERATION, above=0)]
ZeroOffset = Annotated[Quantity, _a(Dimension.ACCELERATION, minimum=0, maximum=5.0)]
"""Half of gravity and more at rest is no offset: a broken sensor, or another unit."""
SomeResistance = Annotated[Quantity, _a(Dimension.RESISTANCE, above=0)]
SomeCurrent = Annotated[Quantity, _a(Dimension.CURRENT, above=0)]
Resistance = Annotated[Quantity, _a(Dimension.RESISTANCE, minimum=0, within=True)]
Charge = Annotated[Quantity, _a(Dimension.CHARGE, above=0, maximum=180_000)]
LinearMass = Annotated[Quantity, _a(Dimension.MASS_PER_LENGTH, above=0)]
Share = Annotated[Quantity, _a(Dimension.RATIO, minimum=0, maximum=1)]
SomeShare = Annotated[Quantity, _a(Dimension.RATIO, above=0, maximum=1)]
Ratio = Annotated[Quantity, _a(Dimension.RATIO, minimum=0, within=True)]
SomeRatio = Annotated[Quantity, _a(Dimension.RATIO, above=0)]

Offset = tuple[SignedLength, SignedLength]
Span = tuple[Station, Station]


def across_m(offset: Offset) -> tuple[float, float]:
    """Offset in metres along body y and z.

    Examples
    --------
    >>> across_m(NO_OFFSET)
    (0.0, 0.0)
    """
    return offset[0].value, offset[1].value


NO_OFFSET = (Quantity(value=0.0, text="0 mm"), Quantity(value=0.0, text="0 mm"))
NO_ANGLE = Quantity(value=0.0, text="0 deg")
NO_LENGTH = Quantity(value=0.0, text="0 mm")
NO_TIME = Quantity(value=0.0, text="0 s")
