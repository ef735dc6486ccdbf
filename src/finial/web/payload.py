"""What the page shows of an answer, as plain records ready for JSON."""

import json
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from json.encoder import encode_basestring as _quoted
from math import isfinite
from pathlib import Path
from typing import Any, cast

from finial.core.kept_parts import kept
from finial.core.record_fields import field_names, field_values
from finial.findings.causes import Group, groups_of
from finial.findings.finding import Finding, Verdict
from finial.findings.guess import Guess
from finial.findings.readiness import Readiness
from finial.findings.same_check import Check, check_of
from finial.report.explain import explained
from finial.report.finding_words import limit, title, what_else_to_change, what_to_change, why
from finial.report.guess_words import guess_words
from finial.report.pictures.inside_section import section_words
from finial.report.shown import Shown
from finial.report.try_words import try_words
from finial.report.words import CAUTION, answer, how_far
from finial.structure.reserves import FailureMode
from finial.web.charts import height_chart, margin_chart
from finial.web.controls import ballast_controls, fin_control
from finial.web.hull import hull_triangles
from finial.web.inside import has_section, page_parts, page_things
from finial.web.numbers import key_numbers, number_groups
from finial.web.picture import LoadCurve, picture
from finial.web.records import (
    FindingCard,
    FindingWay,
    GuessRow,
    InsideData,
    PageAnswer,
    PageChange,
    PageFinding,
    PageVehicle,
)
from finial.web.session import TypedMend
from finial.web.words import detail, finding_value, page_verdict, sentence

_LEAVES = frozenset({str, int, float, bool, type(None)})
"""What JSON takes as it is, most of an answer by number."""
_NUMBERS = "value", "interval", "limit", "margin", "why", "fix", "source"
_JSON = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":"))
_SAID = {None: "null", False: "false", True: "true"}
_MOST_GUESSES = 6
NO_MENDS: Mapping[Check, TypedMend] = {}


def vehicle_payload(readiness: Readiness, mends: Mapping[Check, TypedMend] = NO_MENDS) -> dict[str, Any]:
    """Everything the page needs at its start, ready for JSON."""
    return plain(page_vehicle(readiness, mends))


def page_vehicle(readiness: Readiness, mends: Mapping[Check, TypedMend] = NO_MENDS) -> PageVehicle:
    """Everything the page needs at its start, with the answer to the sheet as written."""
    shown = Shown(us_units=readiness.us_units)
    return PageVehicle(
        kind="whole",
        name=readiness.name,
        note=readiness.note,
        us_units=readiness.us_units,
        sheet=Path(readiness.sheet_file).name,
        caution=CAUTION,
        ballast=ballast_controls(readiness),
        fins=fin_control(readiness),
        inside=InsideData(says=section_words(readiness.inside, shown)) if has_section(readiness) else None,
        things=page_things(readiness),
        parts=page_parts(readiness),
        hull_triangles=hull_triangles(readiness.shape),
        answer=page_answer(readiness, mends),
    )


def answer_text(readiness: Readiness, mends: Mapping[Check, TypedMend] = NO_MENDS) -> str:
    """Everything that may change when a slider is moved as JSON; cards that stay are written once."""
    told = page_answer(readiness, mends)
    cards = ",".join([_card_text(card) for card in told.findings])
    drawn = _with_texts(told.picture, load=_load_text(told.picture.load))
    return _with_texts(told, findings=f"[{cards}]", picture=drawn)


def _with_texts(record: object, **written: str) -> str:
    """Write a record as JSON, some of its fields as they were written before."""
    named = zip(field_names(type(record)), field_values(record), strict=True)
    rest = {name: as_text(value) for name, value in named if name not in written}
    return _braced([f'"{name}":{text}' for name, text in (written | rest).items()])


def _braced(fields: list[str]) -> str:
    return f"{{{','.join(fields)}}}"


@kept(2048)
def _card_text(card: FindingCard) -> str:
    return as_text(card)


@kept(4)
def _load_text(load: LoadCurve) -> str:
    return as_text(load)


def as_json(told: object) -> str:
    """Write what is told as the server sends it."""
    return _JSON.encode(told)


def as_text(value: Any) -> str:
    """Write a record as JSON, the same text as that of its dictionary, which is not made first."""
    kind = cast("type[object]", type(value))
    if kind is str:
        return _quoted(value)
    if kind is bool or value is None:
        return _SAID[value]
    if kind is float and isfinite(value):
        return repr(value)
    if value == ():
        return "[]"
    if starts := _starts(kind):
        told = zip(starts, field_values(value), strict=True)
        return _braced([start + (_quoted(one) if type(one) is str else as_text(one)) for start, one in told])
    if kind is tuple and not _LEAVES.issuperset(map(type, value)):
        return f"[{','.join([as_text(one) for one in value])}]"
    return as_json(plain(value) if kind is dict else value)


@cache
def _starts(kind: type) -> tuple[str, ...]:
    """Write what stands before each field of a kind of record."""
    return tuple(f"{_quoted(name)}:" for name in field_names(kind))


def page_answer(readiness: Readiness, mends: Mapping[Check, TypedMend] = NO_MENDS) -> PageAnswer:
    """Everything that may change when a slider is moved."""
    shown = Shown(us_units=readiness.us_units)
    return PageAnswer(
        verdict=page_verdict(readiness.verdict),
        headline=answer(readiness),
        detail=detail(readiness),
        key_numbers=key_numbers(readiness),
        groups=number_groups(readiness),
        findings=finding_cards(readiness.findings, shown, mends),
        guesses=tuple(_guess(one, shown) for one in readiness.guesses[:_MOST_GUESSES]),
        picture=picture(readiness),
        margin_chart=margin_chart(readiness),
        height_chart=height_chart(readiness),
    )


def finding_cards(
    findings: tuple[Finding, ...], shown: Shown, mends: Mapping[Check, TypedMend] = NO_MENDS
) -> tuple[FindingCard, ...]:
    """One card for each cause, the worst first."""
    return tuple(_group(group, shown, mends) for group in groups_of(findings))


def _guess(guess: Guess, shown: Shown) -> GuessRow:
    told = guess_words(guess, shown)
    return GuessRow(
        what=told.what, interval=told.interval, effect=sentence(told.effect), advice=sentence(told.advice)
    )


def plain(value: Any) -> Any:
    """Return records as dictionaries; unlike ``asdict`` it does not copy each number of a curve."""
    if names := field_names(cast("type[object]", type(value))):
        named = zip(names, field_values(value), strict=True)
        return {name: one if type(one) in _LEAVES else plain(one) for name, one in named}
    if isinstance(value, tuple):
        every = cast("tuple[Any, ...]", value)
        return [one if type(one) in _LEAVES else plain(one) for one in every]
    if isinstance(value, dict):
        return {name: plain(one) for name, one in cast("dict[str, Any]", value).items()}
    return value


def _group(group: Group, shown: Shown, mends: Mapping[Check, TypedMend]) -> FindingCard:
    """One finding for all that share its cause, and the others below it."""
    card, change = _card(group.leader, shown), _change(group.leader, shown, mends)
    followers = tuple(_following(one, group.leader, shown, mends) for one in group.followers)
    return replace(card, change=change, followers=followers) if change or followers else card


# From one question to the next most findings stay as they are.
@kept(2048)
def _card(finding: Finding, shown: Shown) -> FindingCard:
    return FindingCard(**_words(finding, shown), followers=())


def _following(
    finding: Finding, leader: Finding, shown: Shown, mends: Mapping[Check, TypedMend]
) -> PageFinding:
    """Name what follows from a lost flight, and no more; else say of its remedy what its leader does not."""
    told = _told(finding, shown)
    if finding.spoiled:
        return replace(told, **dict.fromkeys(_NUMBERS, ""))
    change, theirs = _change(finding, shown, mends), _change(leader, shown, mends)
    own = None if change == theirs else change
    return replace(told, fix=what_else_to_change(finding, leader, shown), change=own)


def _change(finding: Finding, shown: Shown, mends: Mapping[Check, TypedMend]) -> PageChange | None:
    mend = mends.get(check_of(finding)) if finding.verdict is not Verdict.GO else None
    return mend and PageChange(
        says=try_words(mend.trial, mend.named, shown), typed=mend.typed, said=mend.said
    )


@kept(256)
def _told(finding: Finding, shown: Shown) -> PageFinding:
    return PageFinding(**_words(finding, shown))


def _words(finding: Finding, shown: Shown) -> dict[str, Any]:
    """Fields that a card and one that follows it have alike."""
    value, _, interval = finding_value(finding, shown).partition(" (")
    return dict(
        key=finding.key,
        subject=finding.stage,
        name=title(finding, shown),
        verdict=page_verdict(finding.verdict),
        value=value,
        interval=interval.rstrip(")"),
        limit=limit(finding, shown),
        margin=how_far(finding),
        why=why(finding, shown),
        fix=what_to_change(finding, shown),
        change=None,
        source=finding.bound.source,
        safety=finding.safety,
        known_by="" if finding.value is None else finding.value.known_by.word,
        method="" if finding.value is None else finding.value.method,
        seen_in=_seen_in(finding),
    )


def finding_way(key: str) -> FindingWay:
    """Tell how the number of a check is found.

    Raises
    ------
    MissingData
        If there is no such check.
    """
    told = explained(key)
    return FindingWay(way=told.way, usual=told.usual)


def _seen_in(finding: Finding) -> str:
    """Anchor of the picture that explains a finding; what fails at a station leads to the section there."""
    if finding.key in _SEEN_MOVING:
        return _SEEN_MOVING[finding.key]
    if finding.stage == "strength" and finding.subject.station_m is not None:
        return f"station-{1e3 * finding.subject.station_m:.0f}"
    return _SEEN_IN.get(finding.stage, "stages-title")


_SEEN_MOVING = {
    "lip-holds": "separation-title",
    "cord-in-time": "separation-title",
    "sides-keep-apart": "separation-title",
    FailureMode.FIN_FLUTTERS.value: "swing-title",
    FailureMode.FIN_FLUTTERS_BY_MODES.value: "swing-title",
}
"""What is seen best as it moves."""
_SEEN_IN = {
    "stability": "shape-title",
    "strength": "along-title",
    "flight": "charts-title",
    "inside": "inside-title",
    "shape": "stage-shape",
    "mass": "stage-mass",
    "air": "stage-air",
    "recovery": "stage-recovery",
    "electronics": "stage-electronics",
    "range": "stage-range",
}
"""Where the picture stands that explains findings of a stage, by the page's own anchors."""
