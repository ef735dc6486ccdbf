"""Entry point: ``finial``. Commands load only when called, so that ``--help`` is instant."""

import importlib
import os
import sys
import traceback

import click

from finial.core.errors import FinialError
from finial.core.version import __version__
from finial.core.visible import visible_lines
from finial.files.write import why_not_written

COMMANDS = {
    "new": "Begin a project from your own meshes, or from an example.",
    "tower": "Draw a tower from storeys without CAD, as meshes to begin with.",
    "photo": "Read lengths off photos of a facade, with their errors.",
    "hollow": "Make a mesh hollow, its walls as thick as told.",
    "check": "Go from the build sheet to findings and a verdict.",
    "inside": "Show what stands inside, whether it fits, and a section true to scale.",
    "air": "Show where the air pushes, how hard, and how well that is known.",
    "tunnel": "Blow at the very shape on a lattice: forces and their centre, with error bars.",
    "parts": "List what it is made of: masses, lengths to cut, what is not weighed.",
    "print": "Cut the parts to the printer's bed: pieces, joints, mass, hours.",
    "draw": "Draw fins and the holes of rods true to scale, to cut and drill by.",
    "day": "On the field: what was weighed and what blows today, and the verdict with it.",
    "map": "The field of the day: where it lands, what lies there, which lean, which wind.",
    "checklist": "Boxes to tick: packing, charges, pad, misfire, after landing.",
    "kit": "One file for the field: card, checklist, map and what-if, without a network.",
    "fly": "Fly once and show what happens when.",
    "campaign": "Fly many times: odds, scatter, what decides.",
    "log": "After the flight: read its log, and say what happened.",
    "recovery": "Follow charges, canopies and cords in time.",
    "strength": "What holds, what gives way first, and the cheapest thing that helps.",
    "report": "Write the whole answer as a PDF.",
    "open": "Open the vehicle as a page in the browser.",
    "share": "Write the page as one file to send: to read only, without a network.",
    "size": "Size ballast, fins, rail, canopies; search for the lightest go.",
    "motors": "Try a folder of motors in the vehicle, with reasons.",
    "explain": "What a check is about: why, how it is found, what to change.",
    "materials": "List the materials that are known, with sources.",
    "canopies": "List the canopies that are known, with sources.",
}
FAULT, USAGE, INTERRUPTED = 1, 2, 130
_WIDTH = "columns"


class _LazyGroup(click.Group):
    """A group whose commands live in modules of the same name, imported when needed."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order a builder meets them."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import the module of that command."""
        if cmd_name not in COMMANDS:
            return None
        return with_width(importlib.import_module(f"finial.cli.{cmd_name}_command").command)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing any of them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


def with_width(command: click.Command) -> click.Command:
    """Give a command, and those in it, the option that every one of them takes: how wide to write."""
    if isinstance(command, click.Group):
        for inner in command.commands.values():
            with_width(inner)
    elif not any(option.name == _WIDTH for option in command.params):
        command.params.append(
            click.Option(
                ["--width", _WIDTH],
                type=click.IntRange(60, 240),
                help="Columns to write in (default: the terminal's, at most 100).",
                callback=_widened,
                expose_value=False,
            )
        )
    return command


def _widened(_context: click.Context, _option: click.Parameter, columns: int | None) -> None:
    from finial.report.terminal import WIDTH_ASKED

    WIDTH_ASKED.set(columns)


@click.group(cls=_LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="finial")
def finial() -> None:
    """From the mesh of an odd-shaped, printed high-power rocket to a readiness verdict.

    Start with `finial new my-rocket`, then `finial check my-rocket/skerry-light.toml`; or with your own
    printed pieces: `finial new my-rocket --mesh base.stl top.stl --unit mm`.

    Exit codes: 0 go, 3 no-go, 4 not known, 2 wrong input, 1 a fault of Finial's own.
    """


def main() -> None:
    """Run the command line; turn failures into one message and an exit code."""
    # The sections are many small solves: handing each to several threads costs more than it saves.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        code = finial.main(prog_name="finial", standalone_mode=False)
    except click.exceptions.Abort:
        code = _say("interrupted; nothing half-written was left behind", INTERRUPTED)
    except click.ClickException as error:
        error.show()
        code = error.exit_code
    except FinialError as error:
        code = _say(str(error), USAGE)
    except BrokenPipeError:
        _forget_output()
        code = FAULT
    except OSError as error:
        code = _say(f"{error.filename or 'what was to be written'}: {why_not_written(error)}", USAGE)
        _forget_output()
    except Exception as error:  # noqa: BLE001 - the outermost line: a failure becomes one line and a code
        if os.environ.get("FINIAL_DEBUG"):
            traceback.print_exc()
        code = _say(
            f"Finial failed ({type(error).__name__}: {error}). This is a fault of Finial's own; "
            "set FINIAL_DEBUG=1 to see where.",
            FAULT,
        )
    sys.exit(code if isinstance(code, int) else 0)


def _forget_output() -> None:
    """Let what waits for standard output and cannot be written go nowhere: else Python says so once more."""
    try:
        sys.stdout.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _say(message: str, code: int) -> int:
    click.echo(visible_lines(message), err=True)
    return code
