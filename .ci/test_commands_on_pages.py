"""Every command on every page runs as it is written, and what is not run is told with its reason."""

import re
import shlex
import shutil
import sys
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from finial.cli.main import main
from finial.core.local_map import to_degrees
from finial.findings.check import load
from finial.flight.trace import EventKind, Trace
from finial.logbook.prediction import Prediction, predicted
from finial.logbook.rehearsal import MAPPING, Sensors, rehearsed

ROOT = Path(__file__).resolve().parents[1]
PAGES = [*sorted((ROOT / "docs").glob("*.md")), ROOT / "README.md"]
BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", flags=re.MULTILINE | re.DOTALL)
PROGRAM = re.compile(r"^(?:\.venv/bin/)?finial ")
ANSWERED = (0, 3, 4)

RUN_ELSEWHERE = {
    "a-lopsided-shape.md",
    "a-short-fat-body.md",
    "choosing-a-canopy.md",
    "commands.md",
    "from-three-stl-files.md",
    "ground-testing.md",
}
"""Pages of which other tests here run every command and read what it says; the list of all commands."""

WRITTEN = {"a-tower-without-cad.md": ("tower.toml", "marks.toml")}
"""Files that a page writes out as text, in their order, for its commands to read."""

NOT_RUN = {
    "open": "serves until it is stopped: tests/browser opens the page",
    "--phone": "serves until it is stopped: tests/web and tests/browser ask it",
    "--cluster": "needs workers on other machines: tests/campaign flies on workers of this one",
    "--gpu": "a million flights take a card",
    "tunnel": "minutes: the plan is made here, tests/tunnel_study runs small ones",
    "search": "minutes: tests/sizing searches",
}
"""What a command has in it that keeps it from being run here, and why that is no loss."""


def bodies(page: Path, language: str) -> list[str]:
    return [body for kind, body in BLOCK.findall(page.read_text(encoding="utf-8")) if kind == language]


def commands(page: Path) -> list[str]:
    """The page's own commands, without the program's name and what is said behind them."""
    lines = "".join(bodies(page, "sh")).splitlines()
    return [shlex.join(shlex.split(line, comments=True)[1:]) for line in lines if PROGRAM.match(line)]


def kept_from_running(line: str) -> bool:
    words = shlex.split(line)
    return any(word in NOT_RUN for word in words) and "--plan" not in words


def spread(line: str) -> list[str]:
    """The words of a command, files named by a star one by one, as a shell would."""
    found = [sorted(map(str, Path().glob(word))) if "*" in word else [word] for word in shlex.split(line)]
    return [word for words in found for word in words]


WITH_COMMANDS = [page for page in PAGES if page.name not in RUN_ELSEWHERE and commands(page)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """A folder as the pages take it to be: an example in it, and what a flight left behind."""

    folder: Path

    def lay_out(self, page: Path) -> None:
        """Put there what the page's commands read."""
        for example in ("buoy-tiers", "skerry-light"):
            shutil.copytree(ROOT / "examples" / example, self.folder, dirs_exist_ok=True)
        (self.folder / "buoy-tiers.toml").rename(self.folder / "buoy.toml")
        (self.folder / "examples").symlink_to(ROOT / "examples")
        names = WRITTEN.get(page.name, ())
        told = bodies(page, "text")[: len(names)]
        for name, body in zip(names, told, strict=True):
            (self.folder / name).write_text(body, encoding="utf-8")
        if "new my-rocket" not in commands(page):
            shutil.copytree(ROOT / "examples" / "skerry-light", self.folder / "my-rocket")

    def keep(self, foreseen: Prediction) -> None:
        """Put there what recorders, a receiver and a camera would have kept of the flight foreseen."""
        for seed, name in enumerate(("flight", "one", "other", "next")):
            log = rehearsed(foreseen.trace, foreseen.day, Sensors(), seed)
            (self.folder / f"{name}.csv").write_text(log.csv(), encoding="utf-8")
            (self.folder / f"{name}.toml").write_text(MAPPING, encoding="utf-8")
        (self.folder / "track.gpx").write_text(gpx(foreseen.trace), encoding="utf-8")
        (self.folder / "ground-video.toml").write_text(frames(foreseen.trace), encoding="utf-8")


def gpx(trace: Trace) -> str:
    """A place a second, by the tags of the GPX 1.1 schema."""
    seconds = np.arange(np.ceil(trace.times_s[0]) - 20.0, trace.times_s[-1] + 10.0)
    east, north, up = (np.interp(seconds, trace.times_s, trace.positions_m[:, axis]) for axis in range(3))
    degrees = to_degrees(np.column_stack([east, north]), 0.84, 0.2)
    start = datetime(2031, 5, 4, 10, tzinfo=UTC)
    points = "\n".join(
        f'<trkpt lat="{lat:.7f}" lon="{lon:.7f}"><ele>{high:.1f}</ele>'
        f"<time>{start + timedelta(seconds=index):%Y-%m-%dT%H:%M:%SZ}</time></trkpt>"
        for index, ((lon, lat), high) in enumerate(zip(degrees, up, strict=True))
    )
    return (
        '<?xml version="1.0"?><gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1">'
        f"<trk><trkseg>\n{points}\n</trkseg></trk></gpx>"
    )


def frames(trace: Trace) -> str:
    """The frames of a camera that show the lift-off and the top."""
    lift_off, top = (trace.event(kind).time_s for kind in (EventKind.LIFT_OFF, EventKind.APOGEE))
    return (
        "frames_per_second = 240\n[frame]\nlift_off = 1210\n"
        f"apogee = {1210 + round(240 * (top - lift_off))}\n"
    )


@pytest.fixture
def desk(tmp_path, monkeypatch) -> Desk:
    monkeypatch.chdir(tmp_path)
    return Desk(folder=tmp_path)


@pytest.fixture(scope="module")
def foreseen() -> Prediction:
    return predicted(load(ROOT / "examples" / "buoy-tiers" / "buoy-tiers.toml"))


@pytest.mark.parametrize("page", WITH_COMMANDS, ids=lambda page: page.name)
def test_commands_run_as_written(page, desk, foreseen, monkeypatch, capsys) -> None:
    desk.lay_out(page)
    desk.keep(foreseen)
    for line in commands(page):
        if kept_from_running(line):
            continue
        monkeypatch.setattr(sys, "argv", ["finial", *spread(line)])
        with pytest.raises(SystemExit) as ended:
            main()
        told = capsys.readouterr()
        assert ended.value.code in ANSWERED, f"{line}\n{told.err}"
        assert told.out + told.err, line


def test_every_reason_for_not_running_is_still_needed() -> None:
    lines = [line for page in WITH_COMMANDS for line in commands(page) if kept_from_running(line)]
    words = {word for line in lines for word in shlex.split(line)}
    assert set(NOT_RUN) <= words
