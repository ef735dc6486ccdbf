"""The README shows what the command really prints."""

import importlib.util
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
# Other processors round the last digit otherwise; a number that moved by more has moved.
CLOSE = 0.02


@pytest.fixture(scope="module")
def maker():
    spec = importlib.util.spec_from_file_location("make_readme", ROOT / "docs" / "make_readme.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_output_in_the_readme_is_the_real_one(maker) -> None:
    text = maker.README.read_text(encoding="utf-8")
    committed = text.partition(maker.START)[2].partition(maker.END)[0]
    real = maker.shown()
    assert NUMBER.sub("#", committed) == NUMBER.sub("#", real), "run: python docs/make_readme.py"
    for written, printed in zip(NUMBER.findall(committed), NUMBER.findall(real), strict=True):
        assert float(written) == pytest.approx(float(printed), rel=CLOSE), "run: python docs/make_readme.py"


def test_both_commands_stand_on_their_own_line(maker) -> None:
    text = maker.README.read_text(encoding="utf-8")
    assert "\nmake demo\n" in text
    assert "\nmake test\n" in text
