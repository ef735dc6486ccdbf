"""The command line with nothing to write to, files that lead in circles, and files that never end."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
BUOY = ROOT / "examples" / "buoy-tiers" / "buoy-tiers.toml"


def run(*words: str, cwd: Path = ROOT, closed: bool = False) -> subprocess.CompletedProcess:
    command = [sys.executable, "-m", "finial", *words]
    if closed:
        command = ["sh", "-c", 'exec "$@" >&-', "sh", *command]
    return subprocess.run(command, capture_output=True, text=True, check=False, cwd=cwd, timeout=100)


def test_closed_standard_output_is_no_fault() -> None:
    done = run("materials", closed=True)
    assert "fault of Finial" not in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("command", [["check"], ["air"], ["report"], ["fly"]])
def test_a_circle_of_links_is_no_such_file(tmp_path: Path, command: list[str]) -> None:
    (tmp_path / "a.toml").symlink_to(tmp_path / "b.toml")
    (tmp_path / "b.toml").symlink_to(tmp_path / "a.toml")
    done = run(*command, "a.toml", cwd=tmp_path)
    assert done.returncode == 2
    assert "no such file" in done.stderr


@pytest.mark.parametrize(
    "content", ["a" + ".a" * 500_000 + " = 1", "a = " + "[" * 100_000, "a = " + "9" * 9000]
)
def test_the_first_look_at_a_sheet_goes_through_the_same_door(tmp_path: Path, content: str) -> None:
    (tmp_path / "a.toml").write_text(content, encoding="utf-8")
    began = time.perf_counter()
    done = run("check", "a.toml", cwd=tmp_path)
    assert time.perf_counter() - began < 60
    assert done.returncode == 2
    assert "whole file" in done.stderr or "TOML syntax" in done.stderr


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="a file that never ends is there on POSIX alone")
def test_a_file_that_never_ends_and_a_pipe_are_refused(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.toml")
    for path in ("/dev/zero", str(tmp_path / "pipe.toml")):
        assert run("check", path).returncode == 2


@pytest.mark.skipif(not hasattr(os, "setuid") or os.getuid() != 0, reason="needs root to become another user")
def test_a_sheet_that_may_not_be_read_says_so(tmp_path: Path) -> None:
    tmp_path.chmod(0o755)
    sheet = tmp_path / "a.toml"
    sheet.write_bytes(BUOY.read_bytes())
    sheet.chmod(0)
    program = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from finial.core.errors import BuildSheetError\n"
        "from finial.files.source import read_toml\n"
        "os.setuid(65534)\n"
        "try:\n    read_toml(Path(sys.argv[1]))\n"
        "except BuildSheetError as error:\n    print(error)\n"
    )
    for folder in [tmp_path, *tmp_path.parents][:3]:
        folder.chmod(folder.stat().st_mode | 0o055)
    done = subprocess.run(
        [sys.executable, "-c", program, str(sheet)], capture_output=True, text=True, check=False
    )
    assert "Permission denied" in done.stdout, done.stderr
