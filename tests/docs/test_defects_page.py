"""The page on lost defects names checks that there are, and rows that the suite tries."""

import csv
import re
from pathlib import Path

from finial.report.wording import WORDINGS

ROOT = Path(__file__).parents[2]
ROW = re.compile(r"^\| ([^|]+) \| [^|]+ \| `([^`]+)` \|$")


def rows() -> list[tuple[str, str]]:
    page = (ROOT / "docs" / "how-defects-were-lost.md").read_text(encoding="utf-8")
    found = (ROW.match(line) for line in page.splitlines())
    return [(one[1].strip(), one[2]) for one in found if one]


def test_every_defect_of_the_page_is_tried_and_found_by_the_check_it_names():
    text = (ROOT / "tests" / "defects" / "defects.csv").read_text(encoding="utf-8")
    tried = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    found_by = {row["defect"]: row["found"].split("|") for row in tried}
    assert len(rows()) == 93
    for defect, key in rows():
        assert defect in found_by, defect
        assert key in WORDINGS, key
