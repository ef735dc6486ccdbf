"""Every number that the report and the card tell of the invented vehicle, with its unit, row by row.

The words around them are judged elsewhere and may change; each number was compared once with the records in
``conftest.py`` that it is told of.
"""

import os
import re
from dataclasses import replace
from pathlib import Path

import pytest

from finial.report.sections.card import card
from finial.report.sections.field import guesses_section
from finial.report.stages import stage_sections

HERE = Path(__file__).parent / "drawn"
_UNITS = (
    "mm|cm2|m2|m/s|ft/s|ft|in2|in|kg m2|kg|g|lb ft2|lb|oz|N m|N s|N|lbf|deg|s|h|%|kPa|psi|A|V|L|J|sq in|sq ft"
)
_NUMBER = re.compile(rf"(?<![\w.])[-−]?\d+(?:\.\d+)?(?:e-?\d+)?(?: (?:{_UNITS})(?![\w]))?")


def told_in(readiness):
    for section in (*stage_sections(readiness), guesses_section(readiness)):
        yield f"# {section.key}"
        yield from (_numbers(value) for _, value in section.facts)
        for table in section.tables:
            yield f"## {len(table.columns)} columns, right: {table.numbers}"
            yield from (" | ".join(map(_numbers, row)) for row in table.rows)
        yield from (_numbers(note) for note in section.notes)
    for number, (_, facts) in enumerate(card(readiness), start=1):
        yield f"# card {number}"
        yield from (_numbers(value) for _, value in facts)


def _numbers(words):
    return "; ".join(_NUMBER.findall(words)) or "-"


@pytest.mark.parametrize("us_units", [False, True])
def test_every_number_is_told_as_before(us_units, readiness):
    found = "\n".join(told_in(replace(readiness, us_units=us_units))) + "\n"
    kept = HERE / f"numbers{'-us' if us_units else ''}.txt"
    if os.environ.get("DRAW_AGAIN"):
        kept.write_text(found, encoding="utf-8")
    assert found == kept.read_text(encoding="utf-8")
