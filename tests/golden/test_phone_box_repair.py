"""The repair that the phone box's own sheet names mends what fails in it."""

import shutil
from pathlib import Path

import pytest

from finial.findings import mending
from finial.findings.check import check, load
from finial.findings.finding import Verdict

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "phone-box"
OLD_FINS = '[["0 mm", "0 mm"], ["80 mm", "70 mm"], ["170 mm", "70 mm"], ["160 mm", "0 mm"]]'
REPAIR = (
    (OLD_FINS, '[["0 mm", "0 mm"], ["165 mm", "370 mm"], ["325 mm", "370 mm"], ["190 mm", "0 mm"]]'),
    ('thickness = "5 mm"\nmaterial = "polycarbonate"', 'thickness = "4 mm"\nmaterial = "G10"'),
    ('mass = "600 g +- 5 g"\nstation = "45 mm"', 'mass = "2.4 kg +- 5 g"\nstation = "31 mm"'),
    ('diameter = "2.8 m"', 'diameter = "3.0 m"'),
    ('preload = "200 N +- 40 N"', 'preload = "400 N +- 40 N"'),
    ('wall = "2.2 mm"', 'wall = "3.0 mm"'),
)


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    folder = tmp_path / "phone-box"
    shutil.copytree(EXAMPLE, folder)
    return folder / "phone-box.toml"


def test_the_repair_in_the_sheet_mends_what_fails(sheet: Path) -> None:
    assert check(sheet).verdict is Verdict.NO_GO
    text = sheet.read_text(encoding="utf-8")
    for old, new in REPAIR:
        assert old in text
        text = text.replace(old, new)
    # The comment in the sheet names these very numbers.
    assert REPAIR[0][1] in sheet.read_text(encoding="utf-8")
    sheet.write_text(text, encoding="utf-8")
    repaired = check(sheet)
    # What the repair does not touch is still not known: how the motor is held, the lip.
    assert repaired.verdict is Verdict.NOT_KNOWN
    margins = [finding.verdict for finding in repaired.findings if finding.key == "margin"]
    assert set(margins) == {Verdict.GO}


def test_mending_finds_a_set_that_leaves_no_no_go(monkeypatch: pytest.MonkeyPatch) -> None:
    """The search finds what the sheet tells: ballast, far larger fins of a stiffer plate, and what they need.

    Seven long looks are enough for every no-go; the rest of the search works at what is not known.
    """
    monkeypatch.setattr(mending, "MOST_LONG_LOOKS", 7)
    found = mending.mend(load(EXAMPLE / "phone-box.toml"))
    assert found is not None
    assert {"ballast", "swept span", "plate"} <= {change.lever for change in found.told}
    assert found.verdict is Verdict.NOT_KNOWN
    assert {"margin", "off-axis"} <= {one.key for one in found.mended}
    assert not [one.key for one in found.stops if one.verdict is Verdict.NO_GO]
    reach = next(change.size for change in found.told if change.lever == "swept span")
    assert 0.07 * reach == pytest.approx(0.37, rel=0.15)  # the 370 mm of the sheet's own repair
    assert {"thrust-unsaid", "motor-leaves"} <= {one.key for one in found.to_enter}
