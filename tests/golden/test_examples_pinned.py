"""Whole projects pinned: a number that moves must be explained, not merely accepted."""

import importlib.util
import json
from pathlib import Path

import pytest

HERE = Path(__file__).parent
MOVED = "moved: say under 'Numbers that changed' in CHANGELOG.md why, then run tests/golden/remake.py"
CLOSE = 2e-3
"""Other processors and library versions move the last digits; more than this is a change."""


@pytest.fixture(scope="module")
def maker():
    spec = importlib.util.spec_from_file_location("remake", HERE / "remake.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("name", ["skerry-light", "phone-box", "pagoda", "buoy-tiers"])
def test_an_example_still_gives_its_pinned_numbers(maker, name: str) -> None:
    pinned = json.loads(maker.PINNED.read_text(encoding="utf-8"))[name]
    now = maker.numbers_of(name)
    assert now.keys() == pinned.keys()
    assert now.pop("verdict") == pinned.pop("verdict"), MOVED
    for what, value in pinned.items():
        assert now[what] == pytest.approx(value, rel=CLOSE, abs=1e-4), f"{name}: {what} {MOVED}"
