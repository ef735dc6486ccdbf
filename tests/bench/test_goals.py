"""A benchmark with a goal that is not met ends non-zero and says which, alone and among the others."""

import importlib.util
import math
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

BENCH = Path(__file__).parents[2] / "bench"

QUESTION = """
import sys
from goals import absolute_time, judged, options, ratio, steady
given = options("made up").parse_args()
sys.exit(judged([{goals}], given))
"""
MET = 'steady("rows off by", 1e-6, "at most", 1e-4)'
UNMET = 'steady("columns off by", 0.5, "at most", 1e-4)'
SLOW = 'absolute_time("a slow thing", 3.0, 1.0, " s")'
NARROW = 'ratio("one over another", 40.0, "at least", 100.0, 25.0)'
TOO_NARROW = 'ratio("one over another", 20.0, "at least", 100.0, 25.0)'


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """Folder with the runner and no benchmark yet."""
    for name in ("run.py", "goals.py"):
        shutil.copy(BENCH / name, tmp_path / name)
    return tmp_path


def run(bench: Path, *arguments: str) -> tuple[int, list[str]]:
    """Exit code, and the lines of the outcome."""
    done = subprocess.run(
        [sys.executable, str(bench / "run.py"), *arguments], capture_output=True, text=True, check=False
    )
    return done.returncode, done.stdout.partition("== outcome\n")[2].splitlines()


def write(bench: Path, name: str, *goals: str) -> None:
    (bench / name).write_text(QUESTION.format(goals=", ".join(goals)), encoding="utf-8")


@pytest.mark.parametrize("arguments", [(), ("--small",)], ids=["full", "small"])
def test_an_unmet_goal_ends_the_run_with_one_and_is_named(bench: Path, arguments: tuple[str, ...]) -> None:
    write(bench, "first.py", MET, UNMET)
    write(bench, "second.py", MET)
    code, told = run(bench, *arguments)
    assert code == 1
    assert "NOT MET: first.py: columns off by: 0.5; at most 0.0001" in told
    assert "met: second.py: rows off by: 1e-06; at most 0.0001" in told


@pytest.mark.parametrize(("goals", "code"), [([MET, UNMET], 1), ([MET], 0), ([SLOW], 1)])
def test_a_benchmark_run_alone_ends_so_too(bench: Path, goals: list[str], code: int) -> None:
    write(bench, "first.py", *goals)
    done = subprocess.run(
        [sys.executable, str(bench / "first.py")], capture_output=True, text=True, check=False
    )
    assert done.returncode == code
    assert done.stderr.count("goal NOT MET: ") == code
    assert done.stdout == ""


@pytest.mark.parametrize("arguments", [(), ("--small",)], ids=["full", "small"])
def test_met_goals_end_with_nought(bench: Path, arguments: tuple[str, ...]) -> None:
    write(bench, "first.py", MET)
    assert run(bench, *arguments) == (0, ["met: first.py: rows off by: 1e-06; at most 0.0001", "1 met"])


def test_a_time_by_the_clock_is_judged_in_a_full_run_only(bench: Path) -> None:
    write(bench, "first.py", MET, SLOW)
    full, told_full = run(bench)
    small, told_small = run(bench, "--small")
    assert (full, small) == (1, 0)
    assert "NOT MET: first.py: a slow thing: 3 s; at most 1 s" in told_full
    assert (
        "not met here, which a small run does not judge: first.py: a slow thing: 3 s; at most 1 s"
        in told_small
    )


@pytest.mark.parametrize(
    ("goal", "full", "small"), [(NARROW, 1, 0), (TOO_NARROW, 1, 1)], ids=["within the room", "past the room"]
)
def test_a_ratio_has_room_in_a_small_run(bench: Path, goal: str, full: int, small: int) -> None:
    write(bench, "first.py", goal)
    assert (run(bench)[0], run(bench, "--small")[0]) == (full, small)


@pytest.mark.parametrize(
    ("source", "words"),
    [
        ("raise SystemExit(0)", "ended with 0 and judged no goal"),
        ("raise SystemExit(3)", "ended with 3 and judged no goal"),
        ("1 / 0", "ended with 1 and judged no goal"),
        (QUESTION.format(goals=MET) + "\n", None),
        (
            QUESTION.format(goals=MET).replace("sys.exit(", "(") + "sys.exit(7)",
            "ended with 7, which its goals do not explain",
        ),
        (
            QUESTION.format(goals=UNMET).replace("sys.exit(", "("),
            "ended with 0, which its goals do not explain",
        ),
    ],
)
def test_one_that_breaks_off_or_judges_nothing_has_failed(
    bench: Path, source: str, words: str | None
) -> None:
    (bench / "first.py").write_text(source, encoding="utf-8")
    code, told = run(bench)
    assert code == (words is not None)
    assert [line for line in told if line.startswith("FAILED: ")] == (
        [f"FAILED: first.py: {words}"] if words else []
    )


def test_a_folder_of_no_benchmarks_has_failed(bench: Path) -> None:
    assert run(bench)[0] == 1


@pytest.fixture(scope="module")
def goals() -> ModuleType:
    spec = importlib.util.spec_from_file_location("bench_goals", BENCH / "goals.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("got", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("sense", ["at most", "at least", "exactly"])
def test_what_is_no_number_meets_no_goal(goals: ModuleType, got: float, sense: str) -> None:
    assert goals.steady("made up", got, sense, got).outcome(small=False) is goals.Outcome.NOT_MET


@pytest.mark.parametrize(
    ("sense", "met"),
    [("at most", [2, 3]), ("at least", [3, 4]), ("exactly", [3])],
    ids=lambda value: str(value),
)
def test_each_sense_means_what_it_says(goals: ModuleType, sense: str, met: list[float]) -> None:
    outcomes = [goals.steady("made up", got, sense, 3).outcome(small=True) for got in (2, 3, 4)]
    assert [got for got, outcome in zip((2, 3, 4), outcomes, strict=True) if outcome == "met"] == met


@pytest.fixture
def question(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str], ModuleType]]:
    """Load one of the benchmarks as it is run: with its folder on the path."""
    monkeypatch.syspath_prepend(BENCH)
    before = set(sys.modules)
    yield importlib.import_module
    for name in set(sys.modules) - before:
        if (getattr(sys.modules[name], "__file__", None) or "").startswith(str(BENCH)):
            del sys.modules[name]


LARGE = {"triangles": 1_000_560, "slope_error": 1e-4, "fins_found": 4, "seconds": 2.0}
FLIGHT = {
    "plain_python_agrees_within_m": 2e-6,
    "ours": {"0.0001": {"landing_error_m": 0.028}, "1e-05": {"landing_error_m": 0.009}},
    "ratios": {
        "RK45": {"0.0001": {"plain_over_kernel": 130.0}, "1e-05": {"plain_over_kernel": 150.0}},
        "LSODA": {"0.0001": {"plain_over_kernel": 1.0}, "1e-05": {"plain_over_kernel": 1.0}},
    },
}
INSIDE = {
    "triangles": 1_000_512,
    "things": 43,
    "seconds": 0.5,
    "slider_ms": 6.0,
    "slider_share": 0.15,
    "cold_over_warm": 70.0,
    "room_off_m": 1e-9,
    "pairs_found": 1,
}
CARD = {"other_endings": 0, "apogee_m": {"largest": 0.1}, "landing_east_m": {"median": 0.01}}
RATES = [{"flights": 10_000, "a_second": 121_000.0}, {"flights": 1_000_000, "a_second": 251_000.0}]
SLOW_FEW = [{"flights": 10_000, "a_second": 119_000.0}, RATES[1]]
SLOW_MANY = [RATES[0], {"flights": 1_000_000, "a_second": 249_000.0}]
TOGETHER = [{"cards": 1, "over_one_card": 1.0}, {"cards": 2, "over_one_card": 1.95}]
ON_CARD = {
    "card": "NVIDIA H200",
    "compared": CARD,
    "card_runs": RATES,
    "cards_together": TOGETHER,
    "campaign": {"bitwise_equal": True},
}
RARE = {"rows": [{"bounds_meet": True, "flights": 9000}]}
SOAKED = {"kills": 20, "killed": 20, "bitwise_equal": True}


def changed(record: dict[str, Any], path: str, value: float) -> dict[str, Any]:
    """Record with one number in it replaced."""
    first, _, rest = path.partition("/")
    return {**record, first: changed(record[first], rest, value) if rest else value}


@pytest.mark.parametrize(
    ("name", "function", "record", "path", "bad"),
    [
        ("air", "goals", [LARGE], "seconds", 2.6),
        ("air", "goals", [LARGE], "slope_error", 6e-3),
        ("air", "goals", [LARGE], "fins_found", 3),
        ("inside", "goals", INSIDE, "things", 39),
        ("inside", "goals", INSIDE, "room_off_m", 2e-4),
        ("inside", "goals", INSIDE, "pairs_found", 2),
        ("inside", "goals", INSIDE, "pairs_found", 0),
        ("inside", "goals", INSIDE, "seconds", 2.1),
        ("inside", "goals", INSIDE, "slider_ms", 11.0),
        ("inside", "goals", INSIDE, "slider_share", 0.3),
        ("inside", "goals", INSIDE, "cold_over_warm", 7.0),
        ("slices", "goals", [{"triangles": 9120, "area_error": 1e-9}], "area_error", 2e-4),
        ("campaign", "goals", {"ratio": 1.25}, "ratio", 1.35),
        ("campaign", "soak_goals", SOAKED, "killed", 19),
        ("campaign", "soak_goals", SOAKED, "bitwise_equal", False),
        ("flight", "goals", FLIGHT, "plain_python_agrees_within_m", 2e-5),
        ("flight", "goals", FLIGHT, "ours/0.0001/landing_error_m", 0.031),
        ("flight", "goals", FLIGHT, "ours/1e-05/landing_error_m", 0.011),
        ("flight", "goals", FLIGHT, "ratios/RK45/0.0001/plain_over_kernel", 99.0),
        ("flight", "goals", FLIGHT, "ratios/RK45/1e-05/plain_over_kernel", 99.0),
        ("gpu", "goals", ON_CARD, "compared/other_endings", 1),
        ("gpu", "goals", ON_CARD, "compared/apogee_m/largest", 0.6),
        ("gpu", "goals", ON_CARD, "compared/landing_east_m/median", 0.06),
        ("gpu", "goals", ON_CARD, "campaign/bitwise_equal", False),
        ("gpu", "goals", ON_CARD, "card_runs", SLOW_FEW),
        ("gpu", "goals", ON_CARD, "card_runs", SLOW_MANY),
        ("gpu", "goals", ON_CARD, "cards_together", [{"cards": 2, "over_one_card": 1.89}]),
        ("rare", "goals", RARE, "rows", [{"bounds_meet": False, "flights": 9000}]),
        ("rare", "goals", RARE, "rows", [{"bounds_meet": True, "flights": 20_001}]),
    ],
)
def test_each_goal_of_each_benchmark_can_fail(
    question: Callable[[str], ModuleType], name: str, function: str, record: Any, path: str, bad: float
) -> None:
    goals_of = getattr(question(name), function)
    worse = [changed(record[0], path, bad)] if isinstance(record, list) else changed(record, path, bad)
    outcomes = [[goal.outcome(small=False) for goal in goals_of(one)] for one in (record, worse)]
    assert set(outcomes[0]) == {"met"}
    assert outcomes[1].count("NOT MET") == 1


@pytest.mark.parametrize(("median_ms", "differ", "unmet"), [(19.0, 0, 0), (21.0, 0, 1), (19.0, 1, 1)])
def test_the_page_is_held_to_its_time_and_its_answers(
    question: Callable[[str], ModuleType], median_ms: float, differ: int, unmet: int
) -> None:
    goals_of = question("page").goals_of("fins", median_ms, differ)
    assert [goal.outcome(small=False) for goal in goals_of].count("NOT MET") == unmet
