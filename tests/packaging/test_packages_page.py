"""The page of packages is true of pyproject.toml, of the lock, and of what the code imports."""

import ast
import importlib.util
import re
import subprocess
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path
from types import ModuleType

import pytest
import trimesh

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "packaging.md"
SIZE = re.compile(r"(?:under )?\d+(?:\.\d+)?(?= MB| \|$)", flags=re.MULTILINE)
ONLY_FOR_STEP = "trimesh"
COMES_WITH = {"pydantic-core": "pydantic"}
"""Imported by name, and pinned to its version by the package that brings it."""


@pytest.fixture(scope="module")
def maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_packaging", ROOT / "docs" / "make_packaging.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    # Its records look their annotations up there.
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def project() -> dict:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def named(requirements: list[str]) -> set[str]:
    return {re.match(r"[\w.-]+", each)[0] for each in requirements}


@pytest.fixture(scope="module")
def asked(project: dict) -> set[str]:
    """Every package that pyproject.toml asks for, in any group."""
    groups = (project["dependencies"], *project["optional-dependencies"].values())
    return {name for group in groups for name in named(group)}


def rows() -> set[str]:
    return set(re.findall(r"^\| ([\w.-]+) \|", PAGE.read_text(encoding="utf-8"), flags=re.MULTILINE))


def test_every_dependency_is_on_the_page(asked: set[str]) -> None:
    assert len(asked) > 30
    assert asked <= rows()


def test_every_locked_package_is_on_the_page() -> None:
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    pinned = set(re.findall(r"^([\w.-]+)==", lock, flags=re.MULTILINE))
    assert len(pinned) > 30
    assert pinned <= rows()


def test_the_page_is_what_its_script_writes(maker: ModuleType) -> None:
    text = PAGE.read_text(encoding="utf-8")
    written = text.partition(maker.START)[2].partition(maker.END)[0].strip()
    # Sizes are another machine's.
    assert SIZE.sub("#", written) == SIZE.sub("#", maker.tables().strip()), (
        "run: python docs/make_packaging.py"
    )


def test_the_table_of_uses_names_no_package_that_nobody_asks_for(maker: ModuleType, asked: set[str]) -> None:
    assert set(maker.used_for()) == asked


def test_the_locks_name_no_host_and_have_a_hash_for_every_package() -> None:
    for lock in ROOT.glob("requirements*.lock"):
        text = lock.read_text(encoding="utf-8")
        assert "://" not in text
        assert "--index" not in text
        packages = re.split(r"^(?=[\w.-]+==)", text, flags=re.MULTILINE)[1:]
        assert len(packages) > 30
        assert [package for package in packages if "--hash=sha256:" not in package] == []


def imported() -> set[str]:
    """Packages of others that the code imports somewhere."""
    known, found = packages_distributions(), set()
    for path in (ROOT / "src" / "finial").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            match node:
                case ast.Import(names=names):
                    found |= {each.name.partition(".")[0] for each in names}
                case ast.ImportFrom(module=str(module), level=0):
                    found.add(module.partition(".")[0])
                case _:
                    pass
    others = found - set(sys.stdlib_module_names) - {"finial"}
    # A package whose files pip does not list by module has the name of its module.
    packages = {known.get(module, [module])[0].lower().replace("_", "-") for module in others}
    return {COMES_WITH.get(package, package) for package in packages}


def test_what_the_code_imports_is_asked_for_and_what_is_asked_for_is_used(project: dict) -> None:
    # Tables import pandas where they need it, drawings ezdxf; packages of other extras are loaded by name.
    extras = project["optional-dependencies"]
    asked = named(project["dependencies"]) | named(extras["notebook"]) | named(extras["dxf"])
    assert imported() == asked


READ_WITHOUT = """
import sys
missing, *paths = sys.argv[1:]
sys.modules[missing] = None
from pathlib import Path
from finial.files.meshes import read_mesh

for path in map(Path, paths):
    try:
        print(read_mesh(path, None if path.suffix == ".3mf" else "mm").format)
    except Exception as fault:
        print(type(fault).__name__)
"""


def test_every_mesh_but_step_is_read_without_a_mesh_library(tmp_path: Path) -> None:
    box = trimesh.creation.box((100.0, 100.0, 100.0))
    paths = [tmp_path / f"box.{format_}" for format_ in ("stl", "obj", "ply", "3mf")]
    for path in paths:
        box.export(path)
    (tmp_path / "box.step").write_text("ISO-10303-21;")
    command = [
        sys.executable,
        "-c",
        READ_WITHOUT,
        ONLY_FOR_STEP,
        *map(str, paths),
        str(tmp_path / "box.step"),
    ]
    read = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    assert read == ["stl", "obj", "ply", "3mf", "MeshError"]


def test_a_check_needs_no_mesh_library() -> None:
    sheet = str(ROOT / "examples" / "skerry-light" / "skerry-light.toml")
    program = f"import sys; sys.modules[{ONLY_FOR_STEP!r}] = None; import runpy; "
    program += f"sys.argv = ['finial', 'check', {sheet!r}, '--brief']; "
    program += "runpy.run_module('finial', run_name='__main__')"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert done.returncode in (0, 3, 4), done.stderr
    assert done.stdout
