"""What the page shows of an answer, as plain records ready for JSON."""

from collections.abc import Mapping
from dataclasses import asdict, fields, is_dataclass
from pathlib import Path
from typing import Any, cast

from finial.core.kept_parts import kept
from finial.findings.causes import Group, groups_of
from finial.findings.finding import Finding, Verdict
from finial.findings.readiness import Readiness
from finial.findings.tries import Check, check_of
from finial.report.finding_words import limit, title, what_to_change, why
from finial.report.guess_words import guess_words
from finial.report.pictures.inside_section import section_words
from finial.report.shown import Shown
from finial.report.words import CAUTION, answer, how_far
from finial.web.charts import height_chart, margin_chart
from finial.web.controls import ballast_controls, fin_control
from finial.web.desk import Typed
from finial.web.inside import has_section
from finial.web.numbers import key_numbers, number_groups
from finial.web.picture import picture
from finial.web.words import detail, finding_value, sentence

_NUMBERS = "value", "interval", "limit", "margin", "why", "fix", "source"
_MOST_GUESSES = 6
NO_MENDS: Mapping[Check, Typed] = {}


def vehicle_payload(readiness: Readiness, mends: Mapping[Check, Typed] = NO_MENDS) -> dict[str, Any]:
    """Everything the page needs at its start, with the answer to the sheet as written."""
    fins, shown = fin_control(readiness), Shown(us_units=readiness.us_units)
    return {
        "name": readiness.name,
        "note": readiness.note,
        "sheet": Path(readiness.sheet_file).name,
        "caution": CAUTION,
        "ballast": [asdict(control) for control in ballast_controls(readiness)],
        "fins": asdict(fins) if fins else None,
        "inside": {"says": section_words(readiness.inside, shown)} if has_section(readiness) else None,
        "answer": answer_payload(readiness, mends),
    }


def answer_payload(readiness: Readiness, mends: Mapping[Check, Typed] = NO_MENDS) -> dict[str, Any]:
    """Everything that may change when a slider is moved."""
    shown = Shown(us_units=readiness.us_units)
    return {
        "verdict": readiness.verdict.words,
        "headline": answer(readiness),
        "detail": detail(readiness),
        "key_numbers": _plain(key_numbers(readiness)),
        "groups": _plain(number_groups(readiness)),
        "findings": [_group(group, shown, mends) for group in groups_of(readiness.findings)],
        "guesses": [
            {
                "what": guess.what,
                "interval": guess.interval,
                "effect": sentence(guess.effect),
                "advice": sentence(guess.advice),
            }
            for guess in (guess_words(one, shown) for one in readiness.guesses[:_MOST_GUESSES])
        ],
        "picture": _plain(picture(readiness)),
        "margin_chart": _plain(margin_chart(readiness)),
        "height_chart": _plain(height_chart(readiness)),
    }


def _plain(value: Any) -> Any:
    """Return records as dictionaries; unlike ``asdict`` it does not copy each number of a curve."""
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return [_plain(one) for one in cast("tuple[Any, ...]", value)] if isinstance(value, tuple) else value


def _group(group: Group, shown: Shown, mends: Mapping[Check, Typed]) -> dict[str, Any]:
    """One finding for all that share its cause, and the others below it."""
    followers = [_following(one, shown, mends) for one in group.followers]
    return {**_finding(group.leader, shown, mends), "followers": followers}


def _following(finding: Finding, shown: Shown, mends: Mapping[Check, Typed]) -> dict[str, Any]:
    """Name what follows from a lost flight, and no more: its numbers are not to be used."""
    told = _finding(finding, shown, mends)
    return {**told, **dict.fromkeys(_NUMBERS, ""), "change": None} if finding.spoiled else told


def _finding(finding: Finding, shown: Shown, mends: Mapping[Check, Typed]) -> dict[str, Any]:
    change = mends.get(check_of(finding)) if finding.verdict is not Verdict.GO else None
    return {**_told(finding, shown), "change": change}


# From one question to the next most findings stay as they are.
@kept(2048)
def _told(finding: Finding, shown: Shown) -> dict[str, Any]:
    value, _, interval = finding_value(finding, shown).partition(" (")
    return {
        "key": finding.key,
        "subject": finding.stage,
        "name": title(finding, shown),
        "verdict": finding.verdict.words,
        "value": value,
        "interval": interval.rstrip(")"),
        "limit": limit(finding, shown),
        "margin": how_far(finding),
        "why": why(finding, shown),
        "fix": what_to_change(finding, shown),
        "source": finding.bound.source,
        "safety": finding.safety,
    }
