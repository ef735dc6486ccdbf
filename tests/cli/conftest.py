"""Commands run in this process, and one look at the drawn example for all of them."""

import sys
from dataclasses import dataclass
from pathlib import Path

import pytest
from untried import untried

from finial.cli.main import main

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What a command said, and the code it ended with."""

    code: int | None
    out: str
    err: str


@pytest.fixture
def finial(monkeypatch, capsys):
    """Run ``finial`` with these words."""

    def run(*words) -> Done:
        monkeypatch.setattr(sys, "argv", ["finial", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            main()
        told = capsys.readouterr()
        return Done(code=ended.value.code, out=told.out, err=told.err)

    return run


@pytest.fixture
def no_advice():
    """Commands of this test look for no advice, which it does not read."""
    with untried():
        yield


@pytest.fixture(scope="package")
def buoy():
    """The drawn example, loaded."""
    from finial.findings.check import load

    return load(BUOY)
