"""What one check is about: in general, and for a vehicle as it stands."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from string import Formatter

from finial.core.errors import MissingData
from finial.core.units import show
from finial.findings.finding import Finding
from finial.findings.limits import Limits
from finial.findings.readiness import Readiness
from finial.report.finding_words import limit, title, what_to_change, why
from finial.report.layout import paragraph
from finial.report.lines import TextLine
from finial.report.shown import Shown
from finial.report.wording import WORDINGS
from finial.report.wording.form import Wording
from finial.report.wording.ways import way_of
from finial.report.wording.ways.limits import LIMITS
from finial.report.words import CAUTION

_MOST_NEAR = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """One check in general; what a finding fills in stands in angle brackets."""

    key: str
    title: str
    why: str
    way: str
    """How the number is found: equation or method, and the page that tells the rest."""
    limits: tuple[str, ...]
    usual: tuple[str, ...]
    """Usual limits that are asked, by their names under [limits], with their sources."""
    reasons: tuple[str, ...]
    fixes: tuple[str, ...]


def explained(key: str) -> Explained:
    """Say what the check of that key is about.

    Raises
    ------
    MissingData
        If there is no such check, with those whose key or title has the word in it.

    Examples
    --------
    >>> explained("margin").title
    'margin at <case>'
    """
    wording = WORDINGS.get(key)
    if wording is None:
        near = tuple(found(key))
        hint = f"; with that word: {', '.join(near[:_MOST_NEAR])}" if near else ""
        raise MissingData(f"no check is called {key!r}{hint}. `finial explain` lists them all", near)
    return Explained(
        key=key,
        title=_general(wording.title),
        why=_general(wording.why),
        way=way_of(key),
        limits=_all(wording.limits.values()),
        usual=tuple(map(_usual, LIMITS.get(key, ()))),
        reasons=_all(_own(wording, wording.reasons)),
        fixes=_all(_own(wording, wording.fixes)),
    )


def _own(wording: Wording, sentences: Mapping[str, str]) -> Iterator[str]:
    """Sentences that this very check may say, without those of others of its family."""
    return (sentence for key, sentence in sentences.items() if key not in wording.elsewhere)


def found(word: str) -> Iterator[str]:
    """Keys of the checks that have a word in their key or title."""
    sought = word.lower()
    return (key for key, told in WORDINGS.items() if sought in key or sought in told.title.lower())


def list_lines(width: int) -> tuple[TextLine, ...]:
    """Give every check, a line each."""
    return tuple(
        TextLine(text)
        for key, told in WORDINGS.items()
        for text in paragraph(_general(told.title), width, first=f"{key:24} ", rest=" " * 25)
    )


def explain_lines(told: Explained, width: int) -> tuple[TextLine, ...]:
    """Explain one check in general."""
    lines = [TextLine(f"{told.title}  ({told.key})", "heading")]
    lines += _told(told.why, width)
    lines += _listed("How it is found", (told.way,), width)
    lines += _listed("What is asked", told.limits, width)
    lines += _listed("Usual limit, and another under [limits]", told.usual, width)
    lines += _listed("What may be said besides", told.reasons, width)
    lines += _listed("What may be asked to change", told.fixes, width)
    return tuple(lines)


def here_lines(key: str, readiness: Readiness, width: int) -> tuple[TextLine, ...]:
    """Explain what a check found on one vehicle: numbers, how they are known, limit, remedy, caution."""
    shown = Shown(us_units=readiness.us_units)
    mine = [finding for finding in readiness.findings if finding.key == key]
    lines = [TextLine(""), TextLine(f"On {readiness.name}", "heading")]
    if not mine:
        return (*lines, *_told("This check has nothing to look at on this vehicle.", width))
    for finding in mine:
        lines += [TextLine(f"{finding.verdict.words}: {title(finding, shown)}", "heading")]
        for text in _here(finding, shown):
            lines += _told(text, width)
    return (*lines, TextLine(""), *_told(CAUTION, width))


def _here(finding: Finding, shown: Shown) -> Iterator[str]:
    if finding.value is not None:
        yield f"Found: {shown.judged(finding.value, finding.dimension)}."
    yield f"Asked: {limit(finding, shown)}. Source: {finding.bound.source}."
    yield why(finding, shown)
    change = what_to_change(finding, shown)
    if change:
        yield f"To change: {change}"


def _usual(name: str) -> str:
    limit = Limits(own={})[name]
    value = show(limit.value, limit.dimension) if limit.dimension else f"{limit.value:g}"
    return f"{name} = {value}. {limit.source}"


def _general(sentence: str) -> str:
    """Put the names of what is filled in where it will stand."""
    parts = Formatter().parse(sentence)
    return "".join(text + (f"<{name}>" if name else "") for text, name, _, _ in parts).rstrip(": ,")


def _all(sentences: Iterable[str]) -> tuple[str, ...]:
    return tuple(map(_general, sentences))


def _told(text: str, width: int) -> list[TextLine]:
    return [TextLine(line) for line in paragraph(text, width, first="  ", rest="  ")] if text else []


def _listed(head: str, texts: Sequence[str], width: int) -> list[TextLine]:
    if not any(texts):
        return []
    told = [line for text in texts for line in paragraph(text, width, first="    - ", rest="      ")]
    return [TextLine(f"  {head}"), *map(TextLine, told)]
