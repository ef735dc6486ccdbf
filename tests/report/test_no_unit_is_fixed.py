"""No sentence names a metric unit by itself: numbers are put in later, in the units that the sheet shows."""

import re

from finial.report.wording import WORDINGS

METRIC = re.compile(r"\d\s?(mm|cm|m|km|kg|g|K|degC|N|kN|kPa|MPa|J|m/s|kg/m3|L|l)\b")
TEXTILE = frozenset({"canopy-cloth", "cord-mass"})
"""Cloth is sold by g/m2 and cord by tex everywhere."""


def sentences(key: str) -> list[str]:
    wording = WORDINGS[key]
    more = (*wording.limits.values(), *wording.reasons.values(), *wording.fixes.values())
    return [wording.title, wording.why, *more]


def test_no_sentence_names_a_metric_amount() -> None:
    found = {key: one for key in WORDINGS for one in sentences(key) if METRIC.search(one)}
    assert set(found) <= TEXTILE, found
