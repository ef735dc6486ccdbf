"""Compiled code on disk: damaged in any way, it is named, set aside and compiled anew."""

import os
import subprocess
import sys

import pytest

PROGRAM = """
import sys
from pathlib import Path
sys.path.insert(0, str(Path(sys.argv[1])))
import kernel_of_a_test
print(kernel_of_a_test.doubled(21.0), sum(kernel_of_a_test.doubled.stats.cache_hits.values()))
"""
KERNEL = """
from pathlib import Path
from finial.core.compiled import Kernels

KERNELS = Kernels(name="test", home=Path(__file__).parent, files=("kernel_of_a_test.py",))


@KERNELS.outer
def doubled(number):
    return 2.0 * number
"""


def run(folder):
    environment = os.environ | {"FINIAL_CACHE_DIR": str(folder / "cache")}
    command = [sys.executable, "-c", PROGRAM, str(folder)]
    return subprocess.run(
        command, capture_output=True, text=True, check=False, env=environment, cwd=folder, timeout=120
    )


@pytest.fixture(scope="module")
def compiled(tmp_path_factory):
    """A kernel that was compiled and found again: every test leaves it so."""
    folder = tmp_path_factory.mktemp("compiled")
    (folder / "kernel_of_a_test.py").write_text(KERNEL)
    assert run(folder).stdout.split() == ["42.0", "0"]
    assert run(folder).stdout.split() == ["42.0", "1"]
    return folder


def emptied(raw):
    return b""


def cut(raw):
    return raw[: len(raw) // 2]


def flipped(raw):
    return raw[: len(raw) // 2] + bytes([raw[len(raw) // 2] ^ 1]) + raw[len(raw) // 2 + 1 :]


@pytest.mark.parametrize("damage", [emptied, cut, flipped])
@pytest.mark.parametrize("kind", ["nbi", "nbc"])
def test_a_damaged_file_is_named_set_aside_and_made_anew(compiled, kind, damage):
    (path,) = (compiled / "cache").rglob(f"*.{kind}")
    whole, aside = path.read_bytes(), path.with_name(f"{path.name}.damaged")
    path.write_bytes(damage(whole))
    mended = run(compiled)
    assert mended.stdout.split() == ["42.0", "0"], mended.stderr
    assert "was damaged: set aside" in mended.stderr
    assert aside.read_bytes() == damage(whole)
    again = run(compiled)
    assert (again.stdout.split(), again.stderr) == (["42.0", "1"], "")
    aside.unlink()
