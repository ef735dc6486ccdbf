"""A section through the vehicle as the sheet is written, for the page."""

from dataclasses import dataclass, fields

from finial.findings.readiness import Readiness
from finial.inside.cavity import Printed
from finial.inside.things import Thing
from finial.report.pictures.inside_section import across_words, inside_section
from finial.report.shown import Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class PageThing:
    """A solid inside, in place; round unless its depth is given. SI units, body axes."""

    name: str
    middle_m: float
    length_m: float
    across_m: float
    depth_m: float
    bore_m: float
    offset_m: tuple[float, float]
    tilt_rad: float
    toward_rad: float
    roll_rad: float
    says: str
    """What it is, where it lies and how wide it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PagePart:
    """A printed part, and between which stations it lies [m]."""

    name: str
    fore_m: float
    aft_m: float
    says: str


def page_things(readiness: Readiness) -> tuple[PageThing, ...]:
    """Everything inside, for the picture that can be cut open."""
    shown = Shown(us_units=readiness.us_units)
    names = tuple(field.name for field in fields(PageThing) if field.name != "says")
    return tuple(
        PageThing(**{name: getattr(thing, name) for name in names}, says=_says(thing, shown))
        for thing in readiness.inside.things
    )


def page_parts(readiness: Readiness) -> tuple[PagePart, ...]:
    """Parts of the outside, from the tip aft."""
    shown = Shown(us_units=readiness.us_units)
    outside = sorted((part for part in readiness.inside.cavity.parts if part.outside), key=_span)
    return tuple(
        PagePart(
            name=part.name,
            fore_m=part.span_m[0],
            aft_m=part.span_m[1],
            says=f"printed part, {_from_to(part.span_m, shown)}",
        )
        for part in outside
    )


def _span(part: Printed) -> tuple[float, float]:
    return part.span_m


def _says(thing: Thing, shown: Shown) -> str:
    return f"{thing.kind}, {_from_to(thing.span_m, shown)}, {across_words(thing, shown)}"


def _from_to(span_m: tuple[float, float], shown: Shown) -> str:
    return f"from {shown.length(span_m[0])} to {shown.length(span_m[1])}"


def has_section(readiness: Readiness) -> bool:
    """Whether there is a shape to cut."""
    return len(readiness.inside.cavity.stations_m) > 0


def inside_svg(readiness: Readiness) -> str:
    """Draw the section that tells the most."""
    return inside_section(readiness.inside, readiness.shape.fins, us_units=readiness.us_units)
