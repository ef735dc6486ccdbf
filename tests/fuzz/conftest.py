"""A runner for each fuzz test, and the count at the end."""

import sys
from pathlib import Path

import pytest

# The tests are no package: what they share is found by its folder.
sys.path.insert(0, str(Path(__file__).parent))

from fuzz_trial import COUNTS, NEVER_GO, SLOWEST, Trial

# Run by hand, with an engine that is in no lock file.
collect_ignore = ["guided.py"]


@pytest.fixture(scope="session")
def warmed_up(tmp_path_factory):
    """The shell with everything compiled: on a new machine the first case would take a minute, and be held
    to be too slow, once and never again.
    """
    from click.testing import CliRunner

    from finial.cli.main import finial

    sheet = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"
    done = CliRunner().invoke(finial, ["check", str(sheet), "--quick"], standalone_mode=False)
    assert done.return_value in NEVER_GO


@pytest.fixture
def trial(request, tmp_path):
    """A runner for the cases of one test."""
    return Trial(request.node.name.removeprefix("test_").split("[")[0], tmp_path)


def pytest_terminal_summary(terminalreporter) -> None:
    """Say how many cases there were."""
    if not COUNTS:
        return
    terminalreporter.section("fuzz")
    for name, count in sorted(COUNTS.items()):
        terminalreporter.write_line(f"{count:6d}  {name}")
    for name, took in sorted(SLOWEST.items()):
        terminalreporter.write_line(f"{took:6.1f}s {name}, slowest")
    terminalreporter.write_line(f"{sum(COUNTS.values()):6d}  in all")
