"""Install the wheel into an empty environment, do what the README says, and go the tutorial's road.

Run ``python .ci/try_wheel.py`` for the Python that runs it and for the newest one of the machine, or name
others: ``... python3.11 python3.14``. With another Python than the first only the README is done again.

The source archive is made, the wheel is made from that, and pip puts it with its `campaign` extra
into a new environment, from the lock's own files and nothing else: a module that the project forgot
to ask for, a file that the wheel forgot to ship or a command of the README that does not run ends
this with an error. Then three meshes that are in no example go the road of the tutorial, to a card. About
four minutes.
"""

import os
import re
import shlex
import signal
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urljoin

from pypdf import PdfReader
from strangers_road import three_meshes, walk

ROOT = Path(__file__).resolve().parents[1]
JUDGED = (0, 3, 4)
"""Exit codes of a command that did its work: go, no-go, not known."""
WRITERS = ("report", "checklist")
"""Commands that write a file, and say so beside what is asked for."""
PATIENCE_S = 600
NEWEST = (3, 13)
"""What the lock has been installed on; a newer Python may find no compiled package of every library yet."""
SCRIPTS = "Scripts" if os.name == "nt" else "bin"


def main(pythons: list[str]) -> None:
    for number, python in enumerate(pythons):
        with tempfile.TemporaryDirectory(prefix="finial-try-") as folder:
            scratch = Path(folder)
            wheel = wheel_by_way_of_source_archive(scratch)
            binaries = empty_environment(scratch, wheel, python)
            count = do_what_the_readme_says(binaries, scratch)
            count += 0 if number else go_the_strangers_road(binaries, scratch)
        print(f"{count} passed, 0 failed: the wheel works in an empty environment", flush=True)


def here_and_newest() -> list[str]:
    """Return the Python that runs this, and the newest of the machine where that is a newer one."""
    found = {version: path for path in candidates() if (version := minor_version(path))}
    newest = max((version for version in found if version <= NEWEST), default=sys.version_info[:2])
    if newest <= sys.version_info[:2]:
        print("-- no newer Python on this machine: the wheel is tried in this one alone", flush=True)
        return [sys.executable]
    return [sys.executable, str(found[newest])]


def candidates() -> Iterator[Path]:
    """Pythons on the search path; what stands behind a version manager's shims is looked up beside them."""
    for folder in map(Path, os.get_exec_path()):
        yield from folder.glob("python3.[0-9]*[0-9]")
        if folder.name == "shims":
            yield from folder.parent.glob("versions/*/bin/python3.[0-9]*[0-9]")


def minor_version(python: Path) -> tuple[int, int] | None:
    """Return the version that a Python says it has; nothing where it does not run or is too old."""
    ask = "import sys, venv, ensurepip; print(*sys.version_info[:2])"
    try:
        done = subprocess.run(
            [str(python), "-c", ask], capture_output=True, text=True, check=True, timeout=60, cwd=ROOT.parent
        )
    except (OSError, subprocess.SubprocessError):
        return None
    major, minor = map(int, done.stdout.split())
    return major, minor


def do_what_the_readme_says(binaries: Path, scratch: Path) -> int:
    """Run every command of the README in a new folder; return how many were run."""
    project = scratch / "elsewhere"
    project.mkdir()
    # What is compiled is kept where nothing was compiled yet, as on a machine that never saw Finial.
    os.environ["FINIAL_CACHE_DIR"] = str(scratch / "cache")
    commands = readme_commands((ROOT / "README.md").read_text(encoding="utf-8"))
    tried = [["--help"], *commands, ["check", commands[0][1] + "/skerry-light.toml", "--brief"]]
    for arguments in tried:
        with told(" ".join(["finial", *arguments])):
            (opened if arguments[0] == "open" else judged)(binaries, arguments, project)
    pdf = (project / commands[0][1] / "skerry-light.pdf").read_bytes()
    if not pdf.startswith(b"%PDF-"):
        raise SystemExit("the report is no PDF")
    return len(tried)


def go_the_strangers_road(binaries: Path, scratch: Path) -> int:
    """Go from three meshes that nobody has seen to a card, by the tutorial's commands; return how many."""
    folder = scratch / "stranger"
    folder.mkdir()
    # Motors are the wheel's own; the meshes are not.
    judged(binaries, ["new", "examples/phone-box", "--example", "phone-box"], folder)
    three_meshes(folder / "examples" / "phone-box" / "meshes")

    def typed(arguments: list[str]) -> None:
        with told(" ".join(["finial", *arguments])):
            judged(binaries, arguments, folder)

    count = walk(typed, folder)
    card = PdfReader(folder / "my-box" / "my-box.card.pdf")
    said = " ".join(card.pages[0].extract_text().split())
    if len(card.pages) != 1 or "range safety officer" not in said or "my-box: NO-GO" not in said:
        raise SystemExit(f"the stranger's card: {len(card.pages)} pages, {said[:200]!r}")
    return count + 1


def wheel_by_way_of_source_archive(scratch: Path) -> Path:
    """Build the wheel from the source archive, with nothing to be had from a registry."""
    pip = [sys.executable, "-m", "pip", "--no-input"]
    with told("building the source archive, then the wheel from it, offline"):
        run([sys.executable, "-m", "hatchling", "build", "-t", "sdist", "-d", str(scratch)], ROOT)
        (archive,) = scratch.glob("finial-*.tar.gz")
        offline = ["--no-deps", "--no-index", "--no-build-isolation"]
        run([*pip, "wheel", *offline, "-w", str(scratch), str(archive)], scratch)
    (wheel,) = scratch.glob("finial-*.whl")
    print(f"   {wheel.name}: {wheel.stat().st_size / 1e6:.1f} MB", flush=True)
    return wheel


def empty_environment(scratch: Path, wheel: Path, python: str) -> Path:
    """Put the wheel into a new environment, from the lock's files only; return the folder of its commands."""
    made = scratch / "environment"
    version = run([python, "--version"], scratch).strip()
    with told(f"installing into an empty environment of {version}, from the lock's files"):
        run([python, "-m", "venv", str(made)], scratch)
        pip = [str(made / SCRIPTS / "python"), "-m", "pip", "--no-input"]
        lock, house = str(ROOT / "requirements.lock"), str(scratch / "house")
        run([*pip, "download", "--no-deps", "--require-hashes", "-r", lock, "-d", house], scratch)
        asked = f"finial[campaign] @ {wheel.as_uri()}"
        run([*pip, "install", "--no-index", "--find-links", house, asked], scratch)
        run([*pip, "check"], scratch)
    return made / SCRIPTS


def readme_commands(text: str) -> list[list[str]]:
    """Arguments of every ``finial`` command that the README tells a builder to type, in its order."""
    typed = re.findall(r"^\.venv/bin/finial (.+)$", text, flags=re.MULTILINE)
    commands = [shlex.split(line, comments=True) for line in typed]
    if not commands or commands[0][0] != "new":
        raise SystemExit("README.md: no commands, or they do not begin with `finial new`")
    return commands


def judged(binaries: Path, arguments: list[str], project: Path) -> None:
    """Run one command; it must say something, and end as a command that did its work."""
    said = run([str(binaries / "finial"), *arguments], project, accepted=JUDGED)
    if arguments[0] not in WRITERS and not said.strip():
        raise SystemExit("it said nothing")


def opened(binaries: Path, arguments: list[str], project: Path) -> None:
    """Start the page, load it with what it loads, and stop it as Ctrl-C does."""
    command = [str(binaries / "finial"), *arguments, "--no-browser", "--quiet"]
    environment = {**bare_environment(), "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(
        command, cwd=project, env=environment, stdout=subprocess.PIPE, text=True
    ) as running:
        impatient = threading.Timer(PATIENCE_S, running.kill)
        impatient.start()
        try:
            assert running.stdout is not None
            address = re.search(r"http://\S+", running.stdout.readline())
            if address is None:
                raise SystemExit("it told no address")
            # As a browser does: the key that stands in the address is kept as a cookie.
            browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
            page = fetched(browser, address[0])
            parts = re.findall(r'(?:src|href)="(/static/[^"]+)"', page)
            if not parts or not all(fetched(browser, urljoin(address[0], part)) for part in parts):
                raise SystemExit("the page or a part of it is missing")
            stop(running)
        finally:
            impatient.cancel()
            running.kill()


def fetched(browser: urllib.request.OpenerDirector, address: str) -> str:
    with browser.open(address, timeout=30) as answer:
        return answer.read().decode("utf-8")


def stop(running: subprocess.Popen[str]) -> None:
    if os.name != "posix":
        return
    running.send_signal(signal.SIGINT)
    rest, _ = running.communicate(timeout=30)
    if running.returncode or rest != "Stopped.\n":
        raise SystemExit(f"Ctrl-C: exit code {running.returncode}, said {rest!r}")


def run(command: list[str], folder: Path, accepted: tuple[int, ...] = (0,)) -> str:
    """Run a command and return what it printed; end with all it said when it fails."""
    environment = bare_environment()
    done = subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, text=True, check=False, timeout=PATIENCE_S
    )
    if done.returncode not in accepted:
        raise SystemExit(f"{shlex.join(command)}\nended with {done.returncode}\n{done.stdout}{done.stderr}")
    return done.stdout


def bare_environment() -> dict[str, str]:
    """Leave out what may lend modules of the checkout: an installed Finial stands alone."""
    return {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}


@contextmanager
def told(step: str) -> Iterator[None]:
    print(f"-- {step}", flush=True)
    begun = time.perf_counter()
    yield
    print(f"   {time.perf_counter() - begun:.1f} s", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:] or here_and_newest())
