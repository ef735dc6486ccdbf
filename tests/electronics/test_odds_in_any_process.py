"""Odds of a wiring to the last bit, whatever order this process gives to sets of names."""

import os
import subprocess
import sys
from pathlib import Path

SHEET = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"
_SCRIPT = """
import sys
from pathlib import Path
from finial.assemble.electronics.study import electronics_result
from finial.files.sheet import read_sheet

print(repr(electronics_result(read_sheet(Path(sys.argv[1])).sheet).odds))
"""


def _study(seed):
    environment = {
        **os.environ,
        "PYTHONHASHSEED": seed,
        "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
    }
    return subprocess.run(
        [sys.executable, "-c", _SCRIPT, str(SHEET)],
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    ).stdout


def test_odds_do_not_follow_the_order_of_a_set():
    one = _study("1")
    assert "CutSet" in one
    assert one == _study("2") == _study("5")
