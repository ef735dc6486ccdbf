"""How fast things are done stands beside a bar only where it is asked for."""

import io

import pytest
import rich.console

from finial.cli.progress import bar


@pytest.mark.parametrize("rate", [True, False])
def test_a_rate_is_told_where_it_is_asked_for(monkeypatch: pytest.MonkeyPatch, rate: bool) -> None:
    written = io.StringIO()
    screen = rich.console.Console(file=written, force_terminal=True, width=120)

    def console(*, stderr: bool) -> rich.console.Console:
        assert stderr
        return screen

    monkeypatch.setattr(rich.console, "Console", console)
    how = {"rate": True} if rate else {}
    with bar("flights", 40.0, quiet=False, **how) as reached:
        for done in (1.0, 2.0, 3.0):
            reached(done)
    assert "3/40" in written.getvalue()
    assert ("a second" in written.getvalue()) is rate
