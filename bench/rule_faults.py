"""Is every rule held by a test? Each is removed, turned round, and its limit moved by a fifth either way.

``python bench/rule_faults.py`` runs the tests of the rules once, to see that they pass and how long they
take, and then for every key of a finding, and every fault in it, until one of them fails. One process, one
set of fixtures: a fault takes as long as the tests that do not see it. Ends non-zero when one gets through.
``--part 3/24`` shares the keys among processes: the sorted keys whose number leaves 3 over 24.
"""

import argparse
import sys
import time
from collections.abc import Generator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest
from _pytest.runner import runtestprotocol

from finial.core.kept_parts import forget_all
from finial.findings.finding import Finding, Verdict
from finial.findings.rule import Rule
from finial.report.wording import WORDINGS

ROOT = Path(__file__).resolve().parents[1]
TESTS = (
    *sorted(ROOT.glob("tests/findings/test_rules*.py")),
    *sorted(ROOT.glob("tests/findings/test_*_rules.py")),
    *(ROOT / "tests" / "findings" / f"test_{name}.py" for name in ("limits", "still_guessed", "range_stage")),
    ROOT / "tests" / "shape" / "test_turned.py",
)
MADE = "_finding"
"""The method of a rule that every finding comes from."""
FAULTS = ("removed", "turned round", "limit up a fifth", "limit down a fifth")
SLOW_S = 0.5


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", default="", help="keys that begin so")
    parser.add_argument("--every", type=int, default=1, help="a sample: one key of so many")
    parser.add_argument(
        "--part", type=_part, default=(0, 1), help="one share of the keys: 3/24 of 0/24 to 23/24"
    )
    parser.add_argument("--from-key", default="", help="keys from this one on")
    parser.add_argument("--stop-after", type=float, default=1e9, help="begin nothing new after these seconds")
    given = parser.parse_args()
    watch = _Faults(
        only=given.only,
        every=given.every,
        part=given.part,
        first=given.from_key,
        stop_at=time.monotonic() + given.stop_after,
    )
    where = [str(one) for one in TESTS if one.exists()]
    code = pytest.main(
        ["-q", "-p", "no:cacheprovider", "-o", "addopts=--import-mode=importlib", *where], [watch]
    )
    print(f"{watch.tried} faults tried, {len(watch.through)} got through")
    for key, fault in watch.through:
        print(f"  {key}: {fault}")
    return int(code) or int(bool(watch.through))


def _part(text: str) -> tuple[int, int]:
    """Read which share of how many, and refuse one that is none of them."""
    which, _, shares = text.partition("/")
    if not (which.isdecimal() and shares.isdecimal() and int(which) < int(shares)):
        raise argparse.ArgumentTypeError(f"{text!r}: write which of how many from 0 on, such as 3/24")
    return int(which), int(shares)


class _Faults:
    """Runs the items once as they are, then once for each fault."""

    def __init__(self, *, only: str, every: int, part: tuple[int, int], first: str, stop_at: float) -> None:
        self.only, self.every, self.part, self.first, self.stop_at = only, every, part, first, stop_at
        self.tried = 0
        self.through: list[tuple[str, str]] = []

    @pytest.hookimpl
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        seen: dict[str, set[str]] = {}
        quick: list[tuple[Any, dict[str, set[str]]]] = []
        for item, after in zip(session.items, [*session.items[1:], session.items[0]], strict=True):
            with _watched() as keys:
                passed, own_s = _run(item, after)
            if not passed:
                print(f"fails as it is: {item.nodeid}", flush=True)
            elif own_s < SLOW_S:
                quick.append((item, keys))
            for key, hows in keys.items():
                seen.setdefault(key, set()).update(hows)
        keys = sorted(key for key in seen if key.startswith(self.only) and key >= self.first)
        which, shares = self.part
        mine = keys[which::shares][:: self.every]
        print(f"{len(mine)} of {len(keys)} keys, part {which} of {shares}", flush=True)
        print("keys that none of these tests gives:", *sorted(WORDINGS.keys() - seen.keys()), flush=True)
        print("keys that are a go in all of them:", *sorted(key for key in seen if "fails" not in seen[key]))
        for key in mine:
            if time.monotonic() > self.stop_at:
                print(f"stopped before {key}", flush=True)
                break
            self._try(key, seen[key], [item for item, keys in quick if key in keys])
        return True

    def _try(self, key: str, hows: set[str], items: list[Any]) -> None:
        # What stands for a go alone is beside a key that is not: there is nothing to remove.
        faults = FAULTS if "judged" in hows else FAULTS[: "fails" in hows]
        for fault in faults:
            self.tried += 1
            forget_all()
            with _with_fault(key, fault):
                found = any(not _passes(item, items[0]) for item in items)
            if not found:
                self.through.append((key, fault))
                print(f"got through: {key}: {fault}", flush=True)
        forget_all()


def _passes(item: Any, after: Any) -> bool:
    return _run(item, after)[0]


def _run(item: Any, after: Any) -> tuple[bool, float]:
    """Say whether it passes, and the time of the test itself [s]: fixtures are made once."""
    reports = runtestprotocol(item, log=False, nextitem=after)
    passed = all(not report.failed for report in reports)
    return passed, sum(report.duration for report in reports if report.when == "call")


@contextmanager
def _watched() -> Generator[dict[str, set[str]]]:
    """Note the keys that findings are made of, whether by a number against a limit, and whether one fails."""
    keys: dict[str, set[str]] = {}
    own: Any = getattr(Rule, MADE)

    def noted(self: Rule, *given: Any) -> Finding:
        judged = given[1].value is not None
        found = own(self, *given)
        keys.setdefault(self.key, set()).update(
            ["judged" if judged else "held", "go" if found.verdict is Verdict.GO else "fails"]
        )
        return found

    with patch.object(Rule, MADE, noted):
        yield keys


@contextmanager
def _with_fault(key: str, fault: str) -> Generator[None]:
    """Put one fault into every judgement of a key."""
    least, most, holds = Rule.at_least, Rule.at_most, Rule.holds
    scale = {"limit up a fifth": 1.2, "limit down a fifth": 0.8}.get(fault, 1.0)

    def swapped(own: Any, other: Any) -> Any:
        def judge(self: Rule, value: Any, limit: float, **told: Any) -> Finding:
            if self.key != key:
                return own(self, value, limit, **told)
            found = (other if fault == "turned round" else own)(self, value, scale * limit, **told)
            return replace(found, verdict=Verdict.GO) if fault == "removed" else found

        return judge

    def held(self: Rule, verdict: Verdict, **told: Any) -> Finding:
        return holds(self, Verdict.GO if self.key == key and fault == "removed" else verdict, **told)

    with (
        patch.object(Rule, "at_least", swapped(least, most)),
        patch.object(Rule, "at_most", swapped(most, least)),
        patch.object(Rule, "holds", held),
    ):
        yield


if __name__ == "__main__":
    sys.exit(main())
