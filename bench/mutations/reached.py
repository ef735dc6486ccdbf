"""Which tests reach a function, known by running every test file once and watching."""

import ast
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from mutations.jobs import Job, run_all, slot_environment
from mutations.sites import Site

NOT_TESTS_OF_CODE = ("browser", "packaging", "docs", "bench", "defects", "golden")
"""Folders that are not beside any code: pages, archives, and whole examples."""
KINDS = ("published", "properties", "convergence", "hostile")
"""Folders by kind of test, beside all code that they reach."""
TOP = ("face", "cli")
"""Folders beside what lies in no package: importing it gives the face, running it the command."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Test:
    """A test that passes, its time, and the fixtures it shares with others, by name, with theirs."""

    name: str
    seconds: float
    fixtures: Mapping[str, float]

    def is_beside(self, package: str) -> bool:
        """Say whether it stands in a package's folder, in its docstrings, or among a kind of test."""
        folder = self.name.split("/")
        if folder[0] == "src":
            return folder[2] == package
        return folder[1] == package or folder[1] in KINDS or (package == "(top)" and folder[1] in TOP)


def test_files(root: Path) -> list[str]:
    """Return what is watched in one process each: every test file, and the docstrings of every package."""
    files = [
        path.relative_to(root).as_posix()
        for folder in sorted((root / "tests").iterdir())
        if folder.is_dir() and folder.name not in NOT_TESTS_OF_CODE
        for path in sorted(folder.rglob("test_*.py"))
    ]
    packages = [
        path for path in sorted((root / "src" / "finial").iterdir()) if (path / "__init__.py").is_file()
    ]
    return [*files, *(path.relative_to(root).as_posix() for path in packages)]


def watch(root: Path, scratch: Path, *, jobs: int, python: str) -> list[str]:
    """Watch every file that was not watched yet; return those that broke off."""
    kept = scratch / "reached"
    kept.mkdir(parents=True, exist_ok=True)
    hook = str(Path(__file__).resolve().parent / "hook")

    def job(name: str) -> Job:
        more = {"REACHED_FILE": str(_kept_in(kept, name)), "REACHED_SOURCE": str(root / "src")}
        command = [python, "-m", "pytest", "-p", "reached", "-p", "no:cacheprovider", "-q", name]
        return Job(
            command=command,
            more=more,
            limit_s=900,
            done=lambda code, _: None,
        )

    missing = [name for name in test_files(root) if not _kept_in(kept, name).is_file()]
    run_all(
        [job(name) for name in missing],
        environment=slot_environment(root, scratch, hook),
        root=root,
        jobs=jobs,
    )
    return [name for name in missing if not _kept_in(kept, name).is_file()]


def read(scratch: Path, root: Path) -> dict[str, list[Test]]:
    """Return the tests that reach each function (``file:line``) and each file.

    A file is reached where one of its functions is, and where a test's own file imports it by name:
    a module of constants has no functions.
    """
    found: dict[str, list[Test]] = {}
    for path in sorted((scratch / "reached").glob("*.json")):
        seen = json.loads(path.read_text(encoding="utf-8"))
        for name, one in seen["tests"].items():
            if not one["passed"]:
                continue
            used = [key for key in one["fixtures"] if key in seen["fixtures"]]
            seconds = {key: float(seen["fixtures"][key]["seconds"]) for key in used}
            test = Test(name=name, seconds=float(one["seconds"]), fixtures=seconds)
            reached = {*one["reached"], *(at for key in used for at in seen["fixtures"][key]["reached"])}
            files = {at.rpartition(":")[0] for at in reached}
            for place in reached | files | set(imported(root / name.partition("::")[0])):
                found.setdefault(place, []).append(test)
    return found


@cache
def imported(test_file: Path) -> tuple[str, ...]:
    """Return the files of Finial that a test's file names in its imports."""
    if "tests" not in test_file.parts or not test_file.is_file():
        return ()
    return tuple(
        f"{name.replace('.', '/')}.py"
        for node in ast.walk(ast.parse(test_file.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom)
        for name in _modules(node)
    )


def _modules(node: ast.ImportFrom) -> Iterator[str]:
    """Yield what is imported from, and each name with it: it may be a module itself."""
    if node.module is not None and node.module.split(".")[0] == "finial":
        yield node.module
        yield from (f"{node.module}.{one.name}" for one in node.names)


def chosen(tests: Sequence[Test], site: Site, budget_s: float) -> tuple[list[Test], list[Test]]:
    """Return the tests beside the site's package and the others, each the quickest first, within a time."""
    beside = [test for test in tests if test.is_beside(site.package)]
    others = [test for test in tests if not test.is_beside(site.package)]
    return _within(beside, budget_s), _within(others, budget_s)


def cost_s(tests: Sequence[Test]) -> float:
    """Return the time of some tests [s], what they share counted once."""
    shared = {key: seconds for test in tests for key, seconds in test.fixtures.items()}
    return sum(test.seconds for test in tests) + sum(shared.values())


def _within(tests: Sequence[Test], budget_s: float) -> list[Test]:
    taken: list[Test] = []
    for test in sorted(tests, key=lambda one: one.seconds + sum(one.fixtures.values())):
        if cost_s([*taken, test]) <= budget_s:
            taken.append(test)
    return taken


def _kept_in(folder: Path, name: str) -> Path:
    return folder / (name.replace("/", "+") + ".json")
