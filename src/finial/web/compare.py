"""Two or three vehicles side by side: what each costs, and only what differs."""

from collections.abc import Sequence
from dataclasses import dataclass

from finial.core.dimensions import Dimension
from finial.core.units import show
from finial.findings.finding import Finding, Verdict
from finial.findings.long_looks import left_open
from finial.findings.readiness import Depth, Readiness
from finial.findings.same_check import Check, worst_of
from finial.report.finding_words import title
from finial.report.shown import Shown
from finial.web.numbers import number_groups, worst_point
from finial.web.words import PageVerdict, page_verdict

NOT_ASKED = "not judged"
"""A check that this vehicle does not have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedColumn:
    """One of those compared."""

    name: str
    change: tuple[str, ...]
    verdict: PageVerdict
    """Of all that was looked at; what the quick look leaves out stays out for all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CostCell:
    """A number, and how far it is from that of the first column."""

    value: str
    more: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CostRow:
    """Mass, height or margin of each."""

    name: str
    cells: tuple[CostCell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DifferingRow:
    """A number or a verdict that is not the same in all columns."""

    name: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Everything the page shows of a comparison."""

    whole: bool
    """By the whole look; by the quick one where false."""
    columns: tuple[ComparedColumn, ...]
    costs: tuple[CostRow, ...]
    verdicts: tuple[DifferingRow, ...]
    numbers: tuple[DifferingRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PageCompared:
    """A comparison; null as long as whole looks are on their way, and how many are."""

    found: Comparison | None
    on_their_way: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """A vehicle to compare: its name, what it changes, and its answer; all by the same look."""

    name: str
    change: tuple[str, ...]
    answer: Readiness


def compared(several: Sequence[Compared]) -> Comparison:
    """Compare what each costs against the first, and all that differs."""
    first = several[0].answer
    return Comparison(
        whole=first.depth is Depth.WHOLE,
        columns=tuple(
            ComparedColumn(name=one.name, change=one.change, verdict=page_verdict(_verdict(one.answer)))
            for one in several
        ),
        costs=tuple(
            CostRow(name=name, cells=tuple(_cost(value, values[0], dimension, first) for value in values))
            for name, dimension, values in _costs([one.answer for one in several])
        ),
        verdicts=_differing(_verdicts([one.answer for one in several])),
        numbers=_differing(_numbers([one.answer for one in several])),
    )


def _costs(answers: Sequence[Readiness]) -> tuple[tuple[str, Dimension, list[float]], ...]:
    return (
        ("Mass at lift-off", Dimension.MASS, [one.mass.lift_off_mass.value for one in answers]),
        ("Apogee above the pad", Dimension.LENGTH, [one.flight.apogee_agl.value for one in answers]),
        ("Smallest margin, bad end", Dimension.LENGTH, [worst_point(one).margin.low for one in answers]),
    )


def _cost(value: float, first: float, dimension: Dimension, answer: Readiness) -> CostCell:
    us = answer.us_units
    difference = value - first
    sign = "+" if difference > 0 else "-"
    same = show(abs(difference), dimension, us) == show(0.0, dimension, us)
    more = "" if same else f"{sign}{show(abs(difference), dimension, us)}"
    return CostCell(value=show(value, dimension, us), more=more)


def _judged(answer: Readiness) -> dict[Check, Finding]:
    whole = answer.depth is Depth.WHOLE
    return worst_of(tuple(one for one in answer.findings if whole or not left_open(one)))


def _verdict(answer: Readiness) -> Verdict:
    return max((one.verdict for one in _judged(answer).values()), default=Verdict.NOT_KNOWN)


def _verdicts(answers: Sequence[Readiness]) -> list[tuple[str, list[str]]]:
    """Verdict on each check, worst of any column first."""
    judged = [_judged(one) for one in answers]
    every: dict[Check, Finding] = {}
    for one in judged:
        for check, finding in one.items():
            if check not in every or finding.verdict > every[check].verdict:
                every[check] = finding
    ordered = sorted(every.items(), key=lambda pair: -pair[1].verdict)
    shown = Shown(us_units=answers[0].us_units)
    return [
        (
            title(finding, shown),
            [one[check].verdict.words if check in one else NOT_ASKED for one in judged],
        )
        for check, finding in ordered
    ]


def _numbers(answers: Sequence[Readiness]) -> list[tuple[str, list[str]]]:
    tables = [
        {row.key: (row.name, row.value) for group in number_groups(one) for row in group.rows}
        for one in answers
    ]
    names = {key: name for table in tables for key, (name, _) in table.items()}
    return [
        (name, [table[key][1] if key in table else NOT_ASKED for table in tables])
        for key, name in names.items()
    ]


def _differing(rows: Sequence[tuple[str, list[str]]]) -> tuple[DifferingRow, ...]:
    return tuple(DifferingRow(name=name, cells=tuple(cells)) for name, cells in rows if len(set(cells)) > 1)
