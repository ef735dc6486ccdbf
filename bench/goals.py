"""Goals of a benchmark: what was measured against what is wanted, told, kept, and turned into an exit code.

A full run on a free machine judges every goal. A small run, as in CI on a machine that others use
too, judges only what such a machine cannot spoil: errors and counts as they are, ratios with room.
Absolute times it tells.
"""

import argparse
import json
import math
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

SENSES: dict[str, Callable[[float, float], bool]] = {
    "at most": lambda got, limit: got <= limit,
    "at least": lambda got, limit: got >= limit,
    "exactly": lambda got, limit: got == limit,
}


class Outcome(StrEnum):
    """What became of a goal, in the words that are shown."""

    MET = "met"
    NOT_MET = "NOT MET"
    MET_HERE = "met here, which a small run does not judge"
    NOT_MET_HERE = "not met here, which a small run does not judge"
    NOT_RUN = "not run"
    FAILED = "FAILED"


FAULTS = (Outcome.NOT_MET, Outcome.FAILED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """One number and its limit. What is not a number meets no goal."""

    what: str
    got: float
    sense: str
    limit: float
    when_small: float | None
    """Limit of a small run; None where only a full run on a free machine can tell."""
    unit: str

    def outcome(self, *, small: bool) -> Outcome:
        if small and self.when_small is None:
            return Outcome.MET_HERE if self._meets(self.limit) else Outcome.NOT_MET_HERE
        limit = self.when_small if small and self.when_small is not None else self.limit
        return Outcome.MET if self._meets(limit) else Outcome.NOT_MET

    def _meets(self, limit: float) -> bool:
        return math.isfinite(self.got) and SENSES[self.sense](self.got, limit)

    def told(self, *, small: bool) -> str:
        roomy = small and self.when_small is not None and self.when_small != self.limit
        held_to = f" (held to {self.when_small:g} in a small run)" if roomy else ""
        return f"{self.what}: {self.got:.4g}{self.unit}; {self.sense} {self.limit:g}{self.unit}{held_to}"


def steady(what: str, got: float, sense: str, limit: float, unit: str = "") -> Goal:
    """Return the goal of an error or a count: no other work on the machine moves it."""
    return Goal(what=what, got=got, sense=sense, limit=limit, when_small=limit, unit=unit)


def ratio(what: str, got: float, sense: str, limit: float, when_small: float) -> Goal:
    """Return the goal of two times of one run over each other; other work moves it somewhat."""
    return Goal(what=what, got=got, sense=sense, limit=limit, when_small=when_small, unit="")


def absolute_time(what: str, got: float, at_most: float, unit: str) -> Goal:
    """Return the goal of a time by the clock, which a free machine alone can judge."""
    return Goal(what=what, got=got, sense="at most", limit=at_most, when_small=None, unit=unit)


def rate(what: str, got: float, at_least: float) -> Goal:
    """Return the goal of a rate by the clock, which a free machine alone can judge."""
    return Goal(what=what, got=got, sense="at least", limit=at_least, when_small=None, unit="")


def options(question: str | None) -> argparse.ArgumentParser:
    """Return what every benchmark understands."""
    parser = argparse.ArgumentParser(description=question)
    parser.add_argument(
        "--small", action="store_true", help="small and quick, for CI: judges no absolute time"
    )
    parser.add_argument("--outcomes", type=Path, help="a file to write what became of each goal to, as JSON")
    return parser


def judged(goals: Sequence[Goal], given: argparse.Namespace) -> int:
    """Tell and keep what became of each goal; return 1 if any is not met."""
    told = [(goal.outcome(small=given.small), goal.told(small=given.small)) for goal in goals]
    _keep(told, given)
    return int(any(outcome in FAULTS for outcome, _ in told))


def not_run(why: str, given: argparse.Namespace) -> int:
    """Tell and keep that this machine cannot answer the question."""
    _keep([(Outcome.NOT_RUN, why)], given)
    return 0


def _keep(told: list[tuple[Outcome, str]], given: argparse.Namespace) -> None:
    for outcome, words in told:
        # Standard output may hold the benchmark's one JSON record.
        print(f"goal {outcome}: {words}", file=sys.stderr, flush=True)
    if given.outcomes:
        given.outcomes.write_text(json.dumps(told), encoding="utf-8")
