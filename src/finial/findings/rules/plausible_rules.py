"""Are the numbers of the sheet those of a rocket? Outside the usual lies another unit, or a slip."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from functools import cache
from typing import NamedTuple, cast

from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept
from finial.core.tables import table_rows
from finial.core.units import Quantity, parse_quantity
from finial.files.fields import Record
from finial.files.motor_data import MotorData
from finial.files.sheet import Sheet
from finial.files.site import Site
from finial.files.toml_places import KeyPath
from finial.findings.finding import Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule

USUAL = Rule(key="usual-number", stage="limits", safety=True, urgent=True)
ALL_USUAL = Rule(key="usual-numbers", stage="limits", source="the table of usual numbers", safety=True)
FAR = 10.0
"""Times outside the usual beyond which it is a slip and no rocket [-]; a judgement of this project."""
MOST_MOVED = 0.1
"""How far logs may move the centre of pressure, of the vehicle's length [-]; a judgement of this project."""
OF_LENGTH = "a judgement of this project: a tenth of the length at most"
MOTOR_FILE, SITE_FILE = "motor file", "site file"
"""Where a number of a motor's own file stands in the table."""
TABLES = (
    *("part", "item", "fin", "rod", "motor", "guide", "print"),
    *("recovery", "electronics", "launch", "scatter", "flown", "weighing"),
)
"""Tables of a sheet whose numbers stand in the table of usual ones."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualRange:
    """What a number of the sheet usually is, in SI, and who says so."""

    dimension: Dimension
    low: float
    high: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldNumber:
    """One number of a sheet: its place, and the named thing or the table that it belongs to."""

    place: str
    owner: str
    key: str
    """Its key within that thing."""
    path: KeyPath
    """Keys and places in lists that lead to it from what is looked at: the sheet, or one entry."""
    number: Quantity


@cache
def usual_ranges() -> Mapping[str, UsualRange]:
    """Ranges of the table, by place in the sheet."""
    return {row["place"]: _range(row) for row in table_rows("finial.findings", "plausible.csv")}


def _range(row: Mapping[str, str]) -> UsualRange:
    dimension = Dimension(row["dimension"])
    low, high = (parse_quantity(row[end], dimension).value for end in ("low", "high"))
    return UsualRange(dimension=dimension, low=low, high=high, source=row["source"])


def plausible_findings(sheet: Sheet, motors: Sequence[MotorData] = ()) -> list[Finding]:
    """Judge every number of the sheet and its motors that the table knows against what it usually is."""
    outside = [found for name in TABLES for found in _outside_in(name, getattr(sheet, name))]
    kinds = {motor.path: motor for motor in motors}
    outside += [
        found for motor in kinds.values() for told in numbers_of_motor(motor) for found in _doubts(told)
    ]
    return outside or [ALL_USUAL.holds(Verdict.GO)]


def site_findings(site: Site) -> list[Finding]:
    """Judge the numbers of the site's file against what fields usually are."""
    told = {"field_radius": site.field_radius, "ceiling_agl": site.ceiling_agl}
    return [
        found
        for key, number in told.items()
        if number is not None
        for found in _doubts(
            ToldNumber(
                place=f"{SITE_FILE}.{key}", owner=site.name, key=key, path=(SITE_FILE, key), number=number
            )
        )
    ]


def flown_findings(sheet: Sheet, length_m: float) -> Iterator[Finding]:
    """Judge how far from the computed place logs are said to have found the centre of pressure."""
    told = None if sheet.flown is None else sheet.flown.pressure_centre
    if told is None:
        return
    number = ToldNumber(
        place="flown.pressure_centre",
        owner="flown",
        key="pressure_centre",
        path=("flown", "pressure_centre"),
        number=told,
    )
    far = MOST_MOVED * length_m
    if abs(told.value) > far:
        usual = UsualRange(dimension=Dimension.LENGTH, low=-far, high=far, source=OF_LENGTH)
        yield _judged(number, usual)


def _entries(table: object) -> tuple[object, ...]:
    return cast("tuple[object, ...]", table) if isinstance(table, tuple) else (table,)


# On the page and in a search most tables, and most entries of the others, stay as they are.
@kept(64)
def _outside_in(name: str, table: object) -> tuple[Finding, ...]:
    return tuple(found for entry in _entries(table) for found in _outside(name, entry))


@kept(256)
def _outside(name: str, table: object) -> tuple[Finding, ...]:
    """Numbers of one entry that lie outside what is usual."""
    return tuple(found for told in _numbers_in(name, table) for found in _doubts(told))


def _doubts(told: ToldNumber) -> Iterator[Finding]:
    usual = usual_ranges().get(told.place)
    if usual is not None and not usual.low <= told.number.value <= usual.high:
        yield _judged(told, usual)


def numbers_of_motor(motor: MotorData) -> Iterator[ToldNumber]:
    """Numbers of a motor's own file that no other rule holds against its curve, and what share burns."""
    told = {"ignition_delay": motor.ignition_delay, "thrust_spread": motor.thrust_spread}
    share = motor.propellant_mass.value / motor.loaded_mass.value
    of_loaded = f"{motor.propellant_mass.text} of {motor.loaded_mass.text}"
    numbers = {**told, "propellant_mass": Quantity(value=share, text=of_loaded)}
    for key, number in numbers.items():
        if number is not None:
            yield ToldNumber(
                place=f"{MOTOR_FILE}.{key}", owner=motor.name, key=key, path=(MOTOR_FILE, key), number=number
            )


def numbers_of(sheet: Sheet) -> Iterator[ToldNumber]:
    """Every quantity and whole number in the tables that are looked at."""
    for name in TABLES:
        yield from _numbers_in(name, getattr(sheet, name))


def _numbers_in(name: str, table: object) -> Iterator[ToldNumber]:
    # A table without names, such as the launch, owns its keys itself.
    return _within(table, _Place(place=(name,), owner=name, key=(), path=(name,)))


class _Place(NamedTuple):
    """Where a value of the sheet stands, and the named thing or the table that it belongs to."""

    place: tuple[str, ...]
    owner: str
    key: tuple[str, ...]
    """Keys that lead to it from its owner."""
    path: KeyPath


def _within(value: object, at: _Place) -> Iterator[ToldNumber]:
    """Numbers inside a value of the sheet."""
    if isinstance(value, Quantity):
        yield _told_at(at, value)
    elif isinstance(value, int) and not isinstance(value, bool | Enum):
        yield _told_at(at, Quantity(value=float(value), text=str(value)))
    elif isinstance(value, tuple):
        for index, entry in enumerate(cast("tuple[object, ...]", value)):
            yield from _within(entry, at._replace(path=(*at.path, index)))
    elif isinstance(value, Record):
        own = str(getattr(value, "name", None) or "")
        owner, key = (own, ()) if own else (at.owner, at.key)
        for field in type(value).model_fields:
            inside = _Place((*at.place, field), owner, (*key, field), (*at.path, field))
            yield from _within(getattr(value, field), inside)


def _told_at(at: _Place, number: Quantity) -> ToldNumber:
    return ToldNumber(
        place=".".join(at.place), owner=at.owner, key=".".join(at.key), path=at.path, number=number
    )


def _judged(told: ToldNumber, usual: UsualRange) -> Finding:
    """Judge one number by its middle: outside nobody can say, far outside it is wrong."""
    rule = replace(USUAL, dimension=usual.dimension, source=usual.source)
    number = told.number.value
    value = Estimate(value=number, low=number, high=number, known_by=KnownBy.MEASURED)
    subject = Subject(name=told.owner, case=told.key)
    facts = {"written": told.number.text}
    judge, limit = (rule.at_least, usual.low) if number < usual.low else (rule.at_most, usual.high)
    found = judge(value, limit, subject=subject, facts=facts, fixes=(Fix(key="look"),))
    far = number > FAR * usual.high or number < usual.low / FAR
    return found if far else replace(found, verdict=min(found.verdict, Verdict.NOT_KNOWN))
