"""Statistics against published values, and against scipy as an independent hand."""

import csv
import inspect
from collections.abc import Callable
from pathlib import Path

import pytest
from scipy import stats

from finial.core import statistics


def flights_needed(reliability: float, confidence: float) -> float:
    """Least number of flights, none failed, that show so much by the bound on the odds of failure."""
    return float(
        next(
            trials
            for trials in range(1, 1000)
            if statistics.failure_probability_bound(0, trials, confidence) <= 1 - reliability
        )
    )


CHECKS: dict[str, Callable[..., float]] = {
    "ELC-05-bound": statistics.failure_probability_bound,
    "ELC-05-flights": flights_needed,
    "DSP-03": statistics.ellipse_scale,
}


def rows() -> list[dict[str, str]]:
    lines = Path(__file__).with_name("statistics.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_value_is_the_published_one(row: dict[str, str]) -> None:
    function = CHECKS[row["id"].split()[0]]
    wanted = inspect.signature(function).parameters
    pairs = (pair.split("=") for pair in row["inputs"].split(";"))
    given = {
        key.strip(): (int if wanted[key.strip()].annotation is int else float)(value) for key, value in pairs
    }
    assert function(**given) == pytest.approx(float(row["expected"]), rel=float(row["tolerance"]))


@pytest.mark.parametrize(("failures", "trials"), [(0, 10), (1, 30), (7, 40), (40, 40)])
def test_interval_agrees_with_scipys_exact_test(failures: int, trials: int) -> None:
    theirs = stats.binomtest(failures, trials).proportion_ci(confidence_level=0.9, method="exact")
    assert statistics.failure_probability_interval(failures, trials, 0.9) == pytest.approx(tuple(theirs))


@pytest.mark.parametrize("fraction", [0.01, 0.3, 0.683, 0.9999])
def test_ellipse_scale_agrees_with_scipy(fraction: float) -> None:
    assert statistics.ellipse_scale(fraction) == pytest.approx(stats.chi2.ppf(fraction, 2), rel=1e-12)
