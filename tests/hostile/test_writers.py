"""Every writer, killed at every step and with no room left: nothing half-written, and the next run goes on.

Each run is a child of a process that has done nothing yet, so that it can be killed, limited and listened
to: a child of this one, whose libraries hold threads, may wait for ever.
"""

import importlib
import importlib.util
import itertools
import json
import os
import signal
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import click
import numpy as np
import pytest

from finial.cli.main import main
from finial.core import compiled
from finial.core.errors import FinialError
from finial.files.write import why_not_written

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="makes children and kills them")

HERE = Path(__file__).parent
BEGUN = """
[vehicle]
name = "Begun"
up = "+z"

[[part]]
name = "tower"
outside = true
material = "PETG"
print = { wall = "1.6 mm", infill = "12 %", layers_along = "z" }
tiers = [{ outline = "octagon", across = "118 mm", height = "300 mm" }]
"""
KERNEL = """
from pathlib import Path
from finial.core.compiled import Kernels

KERNELS = Kernels(name="test", home=Path(__file__).parent, files=("a_kernel.py",))


@KERNELS.outer
def doubled(number):
    return 2.0 * number
"""
MOST_SECONDS = 60
NOBODY = 65534
_asked: list[subprocess.Popen] = []
"""The process that forks for this one, while the tests run."""
_STEPS = {"os.rename", "os.mkdir", "os.remove", "os.rmdir", "os.truncate"}
_WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_APPEND


@dataclass(frozen=True, kw_only=True)
class Ended:
    """How a child ended: its exit code, or minus the signal that killed it, and what it said."""

    code: int
    said: str

    @property
    def last(self) -> str:
        """The last word, without the folder it may lie in."""
        return Path(self.said.split()[-1]).name


def child(write, folder, **how) -> Ended:
    """Ask the fresh process for a run of a writer, and return how it ended."""
    name = next(name for name, one in WRITERS.items() if one is write)
    _asked[-1].stdin.write(json.dumps({"name": name, "folder": str(folder), **how}) + "\n")
    _asked[-1].stdin.flush()
    return Ended(**json.loads(_asked[-1].stdout.readline()))


def forked(write, folder, *, kill_at=None, limit=None, dies=False, ordinary=False) -> Ended:
    """Run a writer in a child that is killed before its step of that number, or may write files so long.

    A longer one is refused as on a full disk, or kills the child there, in the middle of the file. An
    ordinary user may not write everywhere, as root may.
    """
    heard, told = os.pipe()
    process = os.fork()
    if not process:
        if ordinary and os.getuid() == 0:
            os.setgid(NOBODY)
            os.setuid(NOBODY)
        _run(write, folder, told, kill_at, limit, dies)
    os.close(told)
    with os.fdopen(heard, "rb") as pipe:
        said = pipe.read().decode()
    return Ended(code=os.waitstatus_to_exitcode(os.waitpid(process, 0)[1]), said=said)


def _run(write, folder, told, kill_at, limit, dies):
    code = 99
    try:
        signal.alarm(MOST_SECONDS)
        os.dup2(told, 1)
        os.dup2(told, 2)
        sys.stdout, sys.stderr = open(1, "w", closefd=False), open(2, "w", closefd=False)
        if kill_at is not None:
            _kill_before(kill_at, str(folder))
        if limit is not None:
            import resource

            signal.signal(signal.SIGXFSZ, signal.SIG_DFL if dies else signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
        code = _code(write, folder)
    finally:
        sys.stdout.flush()
        os._exit(code)


def _code(write, folder):
    try:
        write(folder)
    except SystemExit as ended:
        return ended.code
    except FinialError as error:
        click.echo(error)
        return 2
    return 0


def _kill_before(step, folder):
    steps = itertools.count()

    def hear(event, given):
        if event in _STEPS or (event == "open" and given[2] & _WRITING):
            path = given[0]
            if isinstance(path, str | bytes | os.PathLike) and os.fsdecode(path).startswith(folder):
                if next(steps) == step:
                    os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(hear)


def command(*words):
    sys.argv = ["finial", *words]
    main()


def write_new(folder):
    if (folder / "rocket").exists():
        # Killed when all was there: a second `new` rightly refuses to write over it.
        click.echo(folder / "rocket" / "buoy-tiers.toml")
        return
    command("new", str(folder / "rocket"), "--example", "buoy-tiers")


def write_report(folder):
    command("report", str(folder.parent / "begun.toml"), "--quiet", "--output", str(folder / "report.pdf"))


def write_pictures(folder):
    from types import SimpleNamespace

    from finial.cli.view import View, ViewAsked, shown
    from finial.findings.finding import Verdict

    drawn = {f"{name}.svg": f"<svg>{name * 4000}</svg>" for name in "ab"}
    view = View(name="test", write_text=lambda _: None, pictures=lambda _: drawn)
    asked = ViewAsked(as_json=False, full=False, plots=folder / "plots", quiet=True)
    try:
        shown(SimpleNamespace(verdict=Verdict.GO), view, asked)
    except OSError as error:
        click.echo(f"{error.filename}: {why_not_written(error)}")
        raise SystemExit(2) from error
    click.echo("drawn")


def write_kept(folder):
    from finial.files.kept import kept

    os.environ["FINIAL_CACHE_DIR"] = str(folder)
    click.echo(sum(kept("test", "content", lambda: list(range(4000)))))


def write_notes(folder):
    from finial.sizing.judged import Judged
    from finial.sizing.notebook import Notebook

    notes = Notebook(folder / "notes.jsonl", "search")
    for number in range(6):
        point = (0.5 * number,)
        if point not in notes.known:
            notes.note(point, Judged(mass_kg=5.0 + number, missing=0.0, is_go=True))
    click.echo(sum(judged.mass_kg for judged in notes.known.values()))


def write_campaign(folder):
    from finial.campaign.flown import read_flown
    from finial.campaign.run import Threads, run_campaign

    run_campaign(_campaign(), folder / "c", Threads(1), chunk=10)
    click.echo(read_flown(folder / "c").results["apogee_m"].sum().hex())


def write_compiled(folder):
    os.environ["FINIAL_CACHE_DIR"] = str(folder)
    compiled._folder.cache_clear()
    path = folder.parents[1] / "a_kernel.py"
    spec = importlib.util.spec_from_file_location("a_kernel", path)
    kernel = importlib.util.module_from_spec(spec)
    sys.modules["a_kernel"] = kernel
    spec.loader.exec_module(kernel)
    click.echo(kernel.doubled(21.0))


def _campaign():
    spec = importlib.util.spec_from_file_location("campaigns", HERE.parent / "campaign" / "conftest.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.small_campaign(flights=20)


WRITERS = {
    "new": write_new,
    "report": write_report,
    "pictures": write_pictures,
    "kept answers": write_kept,
    "notebook": write_notes,
    "campaign": write_campaign,
    "compiled code": write_compiled,
}
_LOADED = (
    "encodings.utf_8_sig",
    "finial.cli.new_command",
    "finial.cli.report_command",
    "finial.findings.begun",
    "finial.findings.check",
    "finial.report.pdf",
)
CACHES = {"kept answers", "compiled code"}
"""Writers that answer all the same where nothing can be kept."""


@pytest.fixture(scope="module", autouse=True)
def fresh():
    """A process of its own that answers for children, with what they would else load or compile each time."""
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    _asked.append(
        subprocess.Popen(
            [sys.executable, __file__],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env=environment,
        )
    )
    yield
    with _asked.pop() as ended:
        ended.stdin.close()
        assert ended.wait(timeout=60) == 0


def serve():
    """Answer for children, a line each; random numbers and clocks are no part of what is written."""
    from finial.flight.many import make_many_ready

    for module in (*_LOADED, "duckdb", "pyarrow.parquet"):
        importlib.import_module(module)
    make_many_ready()
    assert np.isfinite(_campaign().packed.pool).any()
    answers = os.fdopen(os.dup(1), "w")
    for line in sys.stdin:
        asked = json.loads(line)
        ended = forked(WRITERS[asked.pop("name")], Path(asked.pop("folder")), **asked)
        answers.write(json.dumps({"code": ended.code, "said": ended.said}) + "\n")
        answers.flush()


@pytest.fixture
def clean(tmp_path, request):
    """A writer, how it ends, and what it leaves where nothing is in its way."""
    write = WRITERS[request.param]
    (tmp_path / "a_kernel.py").write_text(KERNEL)
    folder = emptied(tmp_path, "clean")
    ended = child(write, folder)
    assert ended.code in (0, 4), ended.said
    return request.param, write, ended, seen(folder)


def seen(folder):
    """What stands in a folder under names that a reader looks for."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not any(part.startswith(".") for part in path.relative_to(folder).parts)
        if ".tmp." not in path.name
    }


def assert_whole(found, whole):
    """Each file is as it should be, or was not begun; what grows line by line may still be short."""
    for name, content in found.items():
        grows = name.endswith(".jsonl") and whole[name].startswith(content)
        assert len(content) == len(whole[name]) or grows, name


def emptied(tmp_path, name):
    folder = tmp_path / name / "out"
    folder.mkdir(parents=True)
    (folder.parent / "begun.toml").write_text(BEGUN)
    return folder


@pytest.mark.parametrize("clean", WRITERS, indirect=True)
def test_killed_before_any_step_the_next_run_goes_on(clean, tmp_path):
    _, write, ended, whole = clean
    killed = 0
    for step in itertools.count():
        folder = emptied(tmp_path, f"killed-{step}")
        done = child(write, folder, kill_at=step)
        if done.code != -signal.SIGKILL:
            break
        killed += 1
        assert_whole(seen(folder), whole)
        after = child(write, folder)
        assert (after.code, after.last) == (ended.code, ended.last), after.said
        assert "damaged" not in after.said
        assert_whole(seen(folder), whole)
        assert seen(folder).keys() == whole.keys()
    assert done.code == ended.code
    assert killed >= 3


@pytest.mark.parametrize("limit", [0, 300])
@pytest.mark.parametrize("clean", WRITERS, indirect=True)
def test_killed_in_the_middle_of_a_file_the_next_run_goes_on(clean, tmp_path, limit):
    _, write, ended, whole = clean
    folder = emptied(tmp_path, "cut")
    assert child(write, folder, limit=limit, dies=True).code == -signal.SIGXFSZ
    assert_whole(seen(folder), whole)
    after = child(write, folder)
    assert (after.code, after.last) == (ended.code, ended.last), after.said
    assert seen(folder).keys() == whole.keys()


@pytest.mark.parametrize("limit", [0, 700, 5000])
@pytest.mark.parametrize("clean", WRITERS, indirect=True)
def test_without_room_it_says_so_and_leaves_nothing_half_written(clean, tmp_path, limit):
    name, write, ended, whole = clean
    if max(map(len, whole.values())) <= limit:
        pytest.skip("it writes no file as long as that")
    folder = emptied(tmp_path, "full")
    done = child(write, folder, limit=limit)
    if name in CACHES:
        assert (done.code, done.last) == (ended.code, ended.last)
    else:
        assert done.code == 2, done.said
        assert "lift the limit and run the same command again" in done.said
        assert str(folder) in done.said
    assert "Traceback" not in done.said
    assert_whole(seen(folder), whole)
    hidden = [path.name for path in folder.rglob("*") if ".tmp" in path.name or path.name.startswith(".f")]
    assert hidden == []
    assert child(write, folder).last == ended.last
    assert seen(folder).keys() == whole.keys()


@pytest.mark.parametrize("clean", WRITERS, indirect=True)
def test_an_ordinary_user_in_a_folder_that_is_read_only(clean, tmp_path):
    name, write, ended, _ = clean
    folder = emptied(tmp_path, "locked")
    folder.chmod(0o555)
    for above in list(folder.parents)[:5]:
        above.chmod(above.stat().st_mode | 0o055)
    done = child(write, folder, ordinary=True)
    folder.chmod(0o755)
    assert "Traceback" not in done.said
    if name in CACHES:
        assert (done.code, done.last) == (ended.code, ended.last)
    else:
        assert (done.code, "Permission denied" in done.said) == (2, True), done.said
        assert str(folder) in done.said
    assert list(folder.iterdir()) == []


if __name__ == "__main__":
    serve()
