"""What the wheel and the source archive hold, and that both come out the same wherever they are made."""

import hashlib
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path
from typing import Any

import pytest

from finial.files.examples import EXAMPLES, project_files

ROOT = Path(__file__).parents[2]
LARGEST_WHEEL_BYTES = 3_100_000


def made(target: str, source: Path, folder: Path) -> Path:
    """Build one archive of the sources in ``source`` and return where it lies."""
    command = [sys.executable, "-m", "hatchling", "build", "-t", target, "-d", str(folder)]
    subprocess.run(command, cwd=source, check=True, capture_output=True)
    (archive,) = folder.glob("*.whl" if target == "wheel" else "*.tar.gz")
    return archive


@pytest.fixture(scope="module")
def sdist(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return made("sdist", ROOT, tmp_path_factory.mktemp("sdist"))


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return made("wheel", ROOT, tmp_path_factory.mktemp("wheel"))


@pytest.fixture
def unpacked(sdist: Path, tmp_path: Path) -> Path:
    """Sources out of the archive: a tree that no git and no Node.js stands beside."""
    # The oldest Python that is supported knows no filter.
    careful: dict[str, Any] = {"filter": "data"} if hasattr(tarfile, "data_filter") else {}
    with tarfile.open(sdist) as archive:
        archive.extractall(tmp_path, **careful)
    (folder,) = tmp_path.iterdir()
    # Written into the archive when it is made; no source.
    (folder / "PKG-INFO").unlink()
    return folder


def names(wheel: Path) -> set[str]:
    with zipfile.ZipFile(wheel) as archive:
        return set(archive.namelist())


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def tracked(folder: str) -> set[str]:
    """Files under ``folder`` that git knows, by their path in the checkout."""
    if not (ROOT / ".git").exists():
        pytest.skip("not a checkout: nobody can say what belongs to the project")
    listed = subprocess.run(
        ["git", "ls-files", "-z", folder], cwd=ROOT, check=True, capture_output=True, text=True
    )
    return {name for name in listed.stdout.split("\0") if name and (ROOT / name).is_file()}


def test_the_wheel_holds_every_example_whole(wheel: Path) -> None:
    shipped = {name for name in names(wheel) if name.startswith("finial/examples/")}
    assert shipped == {f"finial/{name}" for name in tracked("examples") if not name.endswith(".py")}
    assert {name.split("/")[2] for name in shipped} == set(EXAMPLES)


@pytest.mark.parametrize("example", EXAMPLES)
def test_what_new_copies_is_what_the_wheel_ships(wheel: Path, example: str) -> None:
    copied = {path.relative_to(ROOT).as_posix() for path in project_files(ROOT / "examples" / example)}
    assert {f"finial/{name}" for name in copied} == {
        name for name in names(wheel) if name.startswith(f"finial/examples/{example}/")
    }


def test_the_wheel_holds_the_package_and_the_built_page(wheel: Path) -> None:
    static = ROOT / "src" / "finial" / "web" / "static"
    page = {path.relative_to(ROOT / "src").as_posix() for path in static.rglob("*") if path.is_file()}
    assert page
    package = {name.removeprefix("src/") for name in tracked("src/finial")} | page
    beside = {name for name in names(wheel) if not name.startswith(("finial/examples/", "finial-"))}
    assert beside == package


def test_the_wheel_is_small_and_holds_no_report_of_anyones(wheel: Path) -> None:
    assert wheel.stat().st_size < LARGEST_WHEEL_BYTES
    assert not [name for name in names(wheel) if name.endswith((".pdf", "make_meshes.py"))]


def test_the_wheel_is_the_same_from_checkout_and_source_archive(wheel: Path, unpacked: Path) -> None:
    assert digest(made("wheel", unpacked, unpacked / "out")) == digest(wheel)


def test_the_source_archive_makes_itself_again(sdist: Path, unpacked: Path) -> None:
    assert digest(made("sdist", unpacked, unpacked / "out")) == digest(sdist)


def test_pip_makes_the_wheel_from_the_source_archive_with_no_registry(
    sdist: Path, wheel: Path, tmp_path: Path
) -> None:
    offline = ["--no-index", "--no-deps", "--no-build-isolation"]
    command = [sys.executable, "-m", "pip", "wheel", "--quiet", *offline, "-w", str(tmp_path), str(sdist)]
    subprocess.run(command, check=True, cwd=tmp_path)
    (again,) = tmp_path.glob("*.whl")
    assert names(again) == names(wheel)


def test_what_commands_write_beside_a_sheet_is_not_shipped(
    wheel: Path, sdist: Path, unpacked: Path, tmp_path: Path
) -> None:
    sheet = unpacked / "examples" / "skerry-light" / "skerry-light.toml"
    sheet.with_suffix(".pdf").write_bytes(b"%PDF-")
    for command in ("air", "strength", "recovery", "campaign"):
        folder = sheet.with_name(f"{sheet.stem}-{command}")
        folder.mkdir()
        (folder / "written.svg").write_bytes(b"<svg/>")
    assert names(made("wheel", unpacked, tmp_path / "wheel")) == names(wheel)
    with tarfile.open(sdist) as clean, tarfile.open(made("sdist", unpacked, tmp_path / "again")) as again:
        assert again.getnames() == clean.getnames()
