"""Methods and sources behind the numbers of one answer, and no others."""

from collections.abc import Iterator, Sequence
from dataclasses import fields, is_dataclass
from typing import cast

from finial.core.estimates import Estimate
from finial.findings.readiness import Readiness
from finial.report.finding_words import title
from finial.report.shown import Shown


def methods_used(readiness: Readiness) -> tuple[tuple[str, str], ...]:
    """Return method and source of every estimate in the answer, each pair once, in order of method."""
    found = {
        (estimate.method, estimate.source)
        for estimate in estimates_in(readiness)
        if estimate.method and estimate.source
    }
    return tuple(sorted(found, key=lambda pair: (pair[0].casefold(), pair[1])))


def methods_by_name(readiness: Readiness) -> tuple[tuple[str, str], ...]:
    """Return every method once, with all its sources, each of them once."""
    by_name: dict[str, dict[str, None]] = {}
    for method, source in methods_used(readiness):
        by_name.setdefault(method, {}).update(dict.fromkeys(source.split("; ")))
    return tuple((method, "; ".join(sources)) for method, sources in by_name.items())


def limits_used(readiness: Readiness, shown: Shown) -> tuple[tuple[str, str], ...]:
    """Return name and source of the limits the findings were judged against, each source once."""
    by_source: dict[str, str] = {}
    for finding in readiness.findings:
        if finding.bound.source:
            by_source.setdefault(finding.bound.source, title(finding, shown))
    return tuple((name, source) for source, name in by_source.items())


def estimates_in(record: object) -> Iterator[Estimate]:
    """Every estimate inside a record, however deep."""
    if isinstance(record, Estimate):
        yield record
    elif isinstance(record, tuple | list):
        for part in cast("Sequence[object]", record):
            yield from estimates_in(part)
    elif is_dataclass(record):
        for field in fields(record):
            yield from estimates_in(getattr(record, field.name))
