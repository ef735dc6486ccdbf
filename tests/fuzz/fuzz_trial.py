"""What every fuzz case is held to: answered or refused in clear words, in time, and in its own folder.

``FINIAL_FUZZ`` says how many cases each test runs, and a tenth of them each that answers a whole vehicle; a
few without it. How many there were, and how they ended, stands at the end of the run.
"""

import os
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

import click
from click.testing import CliRunner
from hypothesis import HealthCheck, settings

from finial.cli.main import finial
from finial.core.errors import FinialError

CASES = int(os.environ.get("FINIAL_FUZZ", "0"))
MOST_SECONDS = 20.0
"""Of one core: the machine may be busy with other things."""


def _cases(count: int) -> settings:
    return settings(
        max_examples=count,
        deadline=None,
        derandomize=not CASES,
        database=None,
        print_blob=True,
        suppress_health_check=list(HealthCheck),
    )


FEW = 12
RUN = _cases(CASES or FEW)
LONG = _cases(CASES // 10 or FEW)
"""For cases that take seconds each."""
NEVER_GO = (3, 4)
COUNTS: Counter[str] = Counter()
SLOWEST: dict[str, float] = {}
_WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
_CHANGES = {"os.rename": (0, 1), "os.remove": (0,), "os.mkdir": (0,), "os.rmdir": (0,), "os.symlink": (1,)}


class Watch:
    """Files that are written outside the folders where that is allowed."""

    def __init__(self) -> None:
        self.allowed: tuple[str, ...] = ()
        self.outside: list[str] = []
        self.on = False
        sys.addaudithook(self._hear)

    def _hear(self, event: str, given: tuple) -> None:
        if not self.on:
            return
        if event == "open" and isinstance(given[0], str | bytes) and _writes(given):
            self._note(os.fsdecode(given[0]))
        for place in _CHANGES.get(event, ()):
            if isinstance(given[place], str | bytes | os.PathLike):
                self._note(os.fsdecode(given[place]))

    def _note(self, path: str) -> None:
        real = os.path.realpath(path)
        if not real.startswith(self.allowed) and "__pycache__" not in real and real != os.devnull:
            self.outside.append(real)


def _writes(given: tuple) -> bool:
    _, mode, flags = given
    return bool(flags & _WRITING) if mode is None else any(letter in mode for letter in "wxa+")


WATCH = Watch()


class Trial:
    """Runs one case in a folder of its own."""

    def __init__(self, kind: str, folder: Path) -> None:
        self.kind, self.folder = kind, folder

    def call(self, what, *given):
        """Call it; a refusal is an answer too, any other exception is a fault of the program."""
        WATCH.allowed = tuple(
            os.path.realpath(one)
            for one in (self.folder, os.environ.get("FINIAL_CACHE_DIR") or _caches(), tempfile.gettempdir())
        )
        WATCH.outside, WATCH.on = [], True
        began = time.process_time()
        ended = "answered"
        found = None
        try:
            found = what(*given)
        except (FinialError, click.ClickException) as error:
            ended = "refused"
            assert_harmless(str(error))
        finally:
            WATCH.on = False
            took = time.process_time() - began
        COUNTS[f"{self.kind} {ended}"] += 1
        SLOWEST[self.kind] = max(took, SLOWEST.get(self.kind, 0.0))
        assert took < MOST_SECONDS
        assert WATCH.outside == []
        return found

    def command(self, *words: str) -> str:
        """Run a command as the shell would; its whole output must be harmless, and it must not say go.

        What these cases ask for is a quick look, or a shape alone: neither may ever end in a go.
        """

        def run() -> str:
            done = CliRunner().invoke(finial, [*words], standalone_mode=False)
            if done.exception is not None:
                raise done.exception
            assert_harmless(done.output)
            assert done.return_value in NEVER_GO
            return done.output

        return self.call(run) or ""


def assert_harmless(text: str) -> None:
    """Nothing that moves the cursor, hides or turns text; the escapes of a table's colours aside."""
    for line in text.split("\n"):
        assert line.isprintable(), repr(line)


def _caches() -> str:
    import platformdirs

    return platformdirs.user_cache_dir("finial", appauthor=False)
