"""Write the pages of every check and command: run ``python docs/make_reference.py`` from the project."""

from collections.abc import Iterator
from pathlib import Path

import click

from finial.cli.main import COMMANDS, finial
from finial.report.explain import explained
from finial.report.wording import WORDINGS

CHECKS = Path(__file__).with_name("checks.md")
COMMAND_PAGE = Path(__file__).with_name("commands.md")
_WIDTH = 100


def checks_page() -> str:
    """Return the page of every check, as it is committed."""
    head = (
        "# Every check\n\nWhat `finial explain KEY` tells: why a check matters, how its number is found,"
        " what may be"
        " asked to change. Words in angle brackets are filled in on a vehicle; keys stand in `--json`"
        " answers.\n"
    )
    return head + "".join(map(_check, WORDINGS))


def _check(key: str) -> str:
    told = explained(key)
    lists = (
        ("What is asked", told.limits),
        ("Usual limit, and another under [limits]", told.usual),
        ("May be said besides", told.reasons),
        ("To change", told.fixes),
    )
    parts = [
        f"\n## {_plain(told.title)}\n\n`{key}`",
        _plain(told.why),
        f"*How it is found:* {_plain(told.way)}",
    ]
    parts += [
        f"*{head}:*\n\n" + "\n".join(f"- {_plain(one)}" for one in texts)
        for head, texts in lists
        if any(texts)
    ]
    return "\n\n".join(filter(None, parts)) + "\n"


def _plain(text: str) -> str:
    return text.replace("<", "‹").replace(">", "›").replace("*", "\\*")


def commands_page() -> str:
    """Return the page of every command with its help, as it is committed."""
    head = (
        "# Every command\n\nAs `finial COMMAND --help` prints it; after installing, `man finial` tells the"
        " same. Completion of commands and options in the shell:\n\n"
        "```sh\n"
        'eval "$(_FINIAL_COMPLETE=bash_source finial)"   # bash, in ~/.bashrc\n'
        'eval "$(_FINIAL_COMPLETE=zsh_source finial)"    # zsh, in ~/.zshrc\n'
        "_FINIAL_COMPLETE=fish_source finial | source    # fish, in ~/.config/fish/completions/finial.fish\n"
        "```\n"
    )
    return head + "".join(f"\n## {' '.join(path)}\n\n```text\n{told}\n```\n" for path, told in _helps())


def _helps() -> Iterator[tuple[tuple[str, ...], str]]:
    with click.Context(finial, info_name="finial", **finial.context_settings) as above:
        for name in COMMANDS:
            command = finial.get_command(above, name)
            assert command is not None
            yield from _help(command, ("finial", name), above)


def _help(
    command: click.Command, path: tuple[str, ...], above: click.Context
) -> Iterator[tuple[tuple[str, ...], str]]:
    with click.Context(command, info_name=path[-1], parent=above, terminal_width=_WIDTH) as context:
        yield path, command.get_help(context)
        if isinstance(command, click.Group):
            for name, inner in command.commands.items():
                yield from _help(inner, (*path, name), context)


if __name__ == "__main__":
    CHECKS.write_text(checks_page(), encoding="utf-8")
    COMMAND_PAGE.write_text(commands_page(), encoding="utf-8")
