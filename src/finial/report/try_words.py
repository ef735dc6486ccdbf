"""A change that may be tried with one click, in a few words: ``booster overlapping by 60 mm``."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from finial.core.dimensions import Dimension
from finial.core.trees import is_table
from finial.core.units import parse_quantity
from finial.findings.finding import Trial, Written
from finial.report.shown import Shown
from finial.report.trial_words import change_words, of_its_rule


@dataclass(frozen=True, slots=True, kw_only=True)
class _Said:
    """How one key is said: ``{name}`` is of whom, ``{size}`` what is written there."""

    before: str
    """The place as its rule writes it, up to the name of whom it is."""
    key: str
    words: str
    dimension: Dimension | None = None


_PLACES = (
    _Said(
        before="recovery.joint.",
        key=".shoulder",
        words="{name} overlapping by {size}",
        dimension=Dimension.LENGTH,
    ),
    _Said(before="recovery.joint.", key=".pins", words="{size} in {name}"),
    _Said(
        before="recovery.charge.",
        key=".powder",
        words="{size} of powder in {name}",
        dimension=Dimension.MASS,
    ),
    _Said(before="recovery.cord.", key=".length", words="{name} of {size}", dimension=Dimension.LENGTH),
    _Said(before="recovery.cord.", key=".width", words="{name} {size} wide", dimension=Dimension.LENGTH),
    _Said(
        before="recovery.cord.",
        key=".stretch_at_break",
        words="{name} that stretches by {size} and breaks then",
    ),
    _Said(before="recovery.canopy.", key=".reefing", words="a {size} on {name}"),
    _Said(before="item.", key=".length", words="{name} {size} thick", dimension=Dimension.LENGTH),
    _Said(before="part.", key=".material", words="{name} printed in {size}"),
    _Said(before="vehicle", key=".colour", words="the outside painted {size}"),
)


def try_words(trial: Trial, named: Mapping[str, Written], shown: Shown) -> str:
    """Say a change that was tried; ``named`` has the places and values of one that a rule worked out.

    Raises
    ------
    KeyError
        If a rule changes a place that nobody gave words.
    """
    if not of_its_rule(trial):
        return change_words(trial, shown)
    return ", ".join(_place_words(place, value, shown) for place, value in named.items())


def _place_words(place: str, value: Written, shown: Shown) -> str:
    for said in _PLACES:
        if place.startswith(said.before) and place.endswith(said.key):
            name = place[len(said.before) : -len(said.key)]
            return said.words.format(name=name, size=_size(value, said.dimension, shown))
    raise KeyError(place)


def _size(value: Written, dimension: Dimension | None, shown: Shown) -> str:
    if dimension is not None:
        return shown.plain(parse_quantity(value, dimension).value, dimension)
    return " x ".join(_parts(value)) if is_table(value) else str(value)


def _parts(pins: Mapping[str, object]) -> Iterator[str]:
    yield str(pins["count"])
    yield str(pins["screw"])
