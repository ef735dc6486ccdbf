"""The bar of long work: what it counts, and that it keeps silent where nobody looks."""

import io

import pytest
import rich.console

from finial.cli.progress import bar
from finial.report.progress import added_up


@pytest.fixture
def screen(monkeypatch):
    """What would stand on a terminal."""
    written = io.StringIO()
    real = rich.console.Console
    monkeypatch.setattr(
        rich.console,
        "Console",
        lambda stderr: real(file=written, force_terminal=True, width=100) if stderr else real(),
    )
    return written


def test_things_are_counted_from_those_that_are_kept(screen):
    with bar("flights", 40, quiet=False, done=10, rate=True) as reached:
        more = added_up(reached, 10)
        more(5)
        more(15)
    assert "flights" in screen.getvalue()
    assert "30/40" in screen.getvalue()


def test_a_whole_is_told_in_per_cent(screen):
    with bar("tunnel", 1.0, quiet=False) as reached:
        reached(0.25)
    assert "25%" in screen.getvalue()


def test_quiet_says_nothing(screen):
    with bar("motors", 3, quiet=True) as reached:
        reached(3)
    assert "motors" not in screen.getvalue()


def test_where_nobody_looks_nothing_is_drawn(capsys):
    with bar("motors", 3, quiet=False) as reached:
        reached(3)
    assert "motors" not in capsys.readouterr().err
