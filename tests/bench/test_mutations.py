"""The tool that puts faults into the code: where, which, and that a process started with one runs with it."""

import importlib
import marshal
import os
import subprocess
import sys
from pathlib import Path

import pytest

BENCH = Path(__file__).parents[2] / "bench"
SOURCE = '''"""Words 7."""
LIMIT = 5.0
ROUNDING = 1e-12


@decorated(maxsize=4)
def judged(value_m: float, least: int = 2) -> "float | None":
    """Say 5 words."""
    if value_m < LIMIT and not value_m == least:
        raise ValueError(f"{value_m + 1} is short of {LIMIT * 2}")
    return min(value_m, -LIMIT) - 2 * least
'''


@pytest.fixture
def mutations(monkeypatch):
    monkeypatch.syspath_prepend(str(BENCH))
    import mutations.reached
    import mutations.sites
    import mutations.table

    yield mutations
    for name in [name for name in sys.modules if name.split(".")[0] == "mutations"]:
        del sys.modules[name]


@pytest.fixture
def package(tmp_path):
    folder = tmp_path / "finial" / "made"
    folder.mkdir(parents=True)
    for each in (folder, folder.parent):
        (each / "__init__.py").write_text("", encoding="utf-8")
    (folder / "up.py").write_text(SOURCE, encoding="utf-8")
    (folder / "kernel.py").write_text("@inner\ndef f(x):\n    return x + 1\n", encoding="utf-8")
    return folder.parent


def test_every_fault_is_one_that_could_matter(mutations, package):
    sites = mutations.sites.sites_in(package)
    assert [(site.line, site.function, site.before, site.after) for site in sites] == [
        (2, None, "5.0", "6.0"),
        (7, None, "2", "3"),
        (9, 6, "value_m < LIMIT and (not value_m == least)", "value_m < LIMIT or not value_m == least"),
        (9, 6, "value_m < LIMIT", "value_m >= LIMIT"),
        (9, 6, "not value_m == least", "not not value_m == least"),
        (9, 6, "value_m == least", "value_m != least"),
        (11, 6, "return min(value_m, -LIMIT) - 2 * least", "return None"),
        (11, 6, "min(value_m, -LIMIT) - 2 * least", "min(value_m, -LIMIT) + 2 * least"),
        (11, 6, "min(value_m, -LIMIT)", "max(value_m, -LIMIT)"),
        (11, 6, "-LIMIT", "+LIMIT"),
        (11, 6, "2 * least", "2 / least"),
        (11, 6, "2", "3"),
    ]
    assert {site.package for site in sites} == {"made"}


def test_a_sample_is_the_same_each_time_and_leaves_no_package_out(mutations, package):
    small = package / "small"
    small.mkdir()
    (small / "one.py").write_text("A = 1\n", encoding="utf-8")
    sites = mutations.sites.sites_in(package)
    drawn = mutations.sites.sample(sites, 6, seed=4, least=1)
    assert drawn == mutations.sites.sample(sites, 6, seed=4, least=1)
    assert drawn != mutations.sites.sample(sites, 6, seed=5, least=1)
    assert [site.package for site in drawn] == ["made"] * 6 + ["small"]


@pytest.mark.parametrize(("fault", "printed"), [(None, "-13.0"), ("2 * least", "-5.5")])
def test_a_process_runs_with_the_fault_and_the_file_stays(mutations, package, tmp_path, fault, printed):
    path = package / "made" / "up.py"
    path.write_text(SOURCE.replace("@decorated(maxsize=4)\n", ""), encoding="utf-8")
    before = path.read_bytes()
    environment = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join([str(BENCH / "mutations" / "hook"), str(tmp_path)]),
    }
    if fault is not None:
        (site,) = (site for site in mutations.sites.sites_in(package) if site.before == fault)
        code = compile(mutations.sites.with_fault(path, site.place), str(path), "exec")
        (tmp_path / "code").write_bytes(marshal.dumps(code))
        environment |= {
            "MUTANT_MODULE": "finial.made.up",
            "MUTANT_FILE": str(path),
            "MUTANT_CODE": str(tmp_path / "code"),
        }
    said = subprocess.run(
        [
            sys.executable,
            "-c",
            "import finial.made.up as up; print(up.judged(9.0, least=4))",
        ],
        env=environment,
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    # min(9, -5) - 2 * 4, and with the fault - 2 / 4.
    assert said.stdout.strip() == printed
    assert path.read_bytes() == before


def test_tests_beside_the_code_come_first_and_what_they_share_costs_once(mutations):
    test, chosen = mutations.reached.Test, mutations.reached.chosen
    shared = {"conftest vehicle": 8.0}
    own = test(name="tests/made/test_up.py::test_a", seconds=1.0, fixtures=shared)
    again = test(name="tests/made/test_up.py::test_b", seconds=2.0, fixtures=shared)
    published = test(name="tests/published/test_values.py::test_c", seconds=0.5, fixtures={})
    said = test(name="src/finial/made/up.py::finial.made.up.judged", seconds=0.1, fixtures={})
    other = test(name="tests/cli/test_commands.py::test_d", seconds=3.0, fixtures={})
    site = mutations.sites.Site(
        file="finial/made/up.py", place=0, line=1, function=None, before="1", after="2"
    )
    tests = [other, again, own, published, said]
    assert mutations.reached.cost_s([own, again]) == 11.0
    assert chosen(tests, site, 100.0) == ([said, published, own, again], [other])
    assert chosen(tests, site, 10.0) == ([said, published, own], [other])
    top = mutations.reached.Test(name="tests/cli/test_commands.py::test_d", seconds=3.0, fixtures={})
    assert [top.is_beside(name) for name in ("(top)", "cli", "made")] == [True, True, False]


def test_a_module_of_constants_is_reached_by_tests_that_import_it(mutations, tmp_path):
    kept = tmp_path / "scratch" / "reached"
    kept.mkdir(parents=True)
    (tmp_path / "tests" / "made").mkdir(parents=True)
    (tmp_path / "tests" / "made" / "test_up.py").write_text(
        "import json\nfrom finial.made import limits\nfrom finial.made.up import judged\n", encoding="utf-8"
    )
    name = "tests/made/test_up.py::test_a"
    one = {"seconds": 1.0, "passed": True, "fixtures": [], "reached": ["finial/made/other.py:4"]}
    told = {"tests": {name: one, "tests/made/test_up.py::test_b": {**one, "passed": False}}, "fixtures": {}}
    (kept / "one.json").write_text(mutations.reached.json.dumps(told), encoding="utf-8")
    found = mutations.reached.read(tmp_path / "scratch", tmp_path)
    for place in (
        "finial/made/other.py:4",
        "finial/made/other.py",
        "finial/made/limits.py",
        "finial/made/up.py",
    ):
        assert [test.name for test in found[place]] == [name]
    assert "finial/made/up.py:6" not in found


def test_the_page_names_each_fault_that_got_through(mutations):
    def site(line):
        return mutations.sites.Site(
            file="finial/made/up.py", place=line, line=line, function=1, before="a < b", after="a >= b"
        )

    outcomes = [(site(1), "found beside"), (site(2), "survived"), (site(3), "not judged")]
    page = mutations.table.table(outcomes, left=3, seed=1)
    assert "3 faults tried (seed 1), 3 left, 1 not judged." in page
    assert "| made | 2 | 1 (50 %) | 0 | 1 | 0 |" in page
    assert "- survived: `finial/made/up.py:2` `a < b` became `a >= b`" in page
    assert "up.py:1`" not in page


@pytest.mark.parametrize(
    ("exit_code", "outcome"),
    [
        (0, "unseen"),
        (1, "found"),
        (2, "found"),
        (3, "not judged"),
        (4, "not judged"),
        (5, "not judged"),
        (-1, "not judged"),
        (-9, "not judged"),
    ],
)
def test_a_run_that_was_stopped_or_ran_no_test_judges_nothing(mutations, exit_code, outcome):
    main = importlib.import_module("mutations.__main__")
    assert main.judged(exit_code, found="found", unseen="unseen") == outcome
