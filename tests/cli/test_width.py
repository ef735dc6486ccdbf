"""``--width``: every command that writes takes it, and no line is longer than asked."""

import click
import pytest

from finial.cli.main import COMMANDS, finial
from finial.report.lines import WIDTH
from finial.report.terminal import WIDTH_ASKED, terminal_width


def run(capsys, *words):
    with pytest.raises(SystemExit) as ended:
        finial.main(args=list(words), prog_name="finial")
    return ended.value.code, capsys.readouterr().out


@pytest.mark.parametrize("columns", [60, 72, 140])
def test_lines_are_as_wide_as_asked(capsys, columns):
    code, said = run(capsys, "explain", "margin", "--width", str(columns))
    longest = max(map(len, said.splitlines()))
    assert code == 0
    assert columns - 16 < longest <= columns


def test_the_next_command_does_not_remember(capsys):
    run(capsys, "explain", "margin", "--width", "60")
    run(capsys, "explain", "margin")
    assert WIDTH_ASKED.get() is None
    assert terminal_width() == WIDTH


def test_too_narrow_is_refused(capsys):
    assert run(capsys, "explain", "margin", "--width", "20")[0] == 2


def test_every_command_takes_it():
    with click.Context(finial, info_name="finial", **finial.context_settings) as above:
        for name in COMMANDS:
            command = finial.get_command(above, name)
            inner = command.commands.values() if isinstance(command, click.Group) else [command]
            for one in inner:
                assert [option.opts for option in one.params].count(["--width"]) == 1, (name, one.name)
