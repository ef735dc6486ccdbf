"""A pytest plugin: which functions of Finial each test reaches, itself and by its fixtures, in what time.

Written to the file that ``REACHED_FILE`` names. Needs Python 3.12 for its cheap monitoring.
"""

import json
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

SOURCE = os.environ["REACHED_SOURCE"] + os.sep
TOOL = sys.monitoring.COVERAGE_ID
_now: list[set[str]] = [set()]
_fixtures: dict[str, dict[str, Any]] = {}
_tests: dict[str, dict[str, Any]] = {}


def _started(code: Any, _offset: int) -> object:
    if code.co_filename.startswith(SOURCE):
        _now[-1].add(f"{code.co_filename[len(SOURCE) :]}:{code.co_firstlineno}")
    # Each function needs to be seen once only in each test.
    return sys.monitoring.DISABLE


sys.monitoring.use_tool_id(TOOL, "reached")
sys.monitoring.register_callback(TOOL, sys.monitoring.events.PY_START, _started)
sys.monitoring.set_events(TOOL, sys.monitoring.events.PY_START)


def _fixture_keys(item: Any) -> list[str]:
    known = item._fixtureinfo.name2fixturedefs
    return [f"{one.baseid}::{name}" for name, each in known.items() for one in each]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: Any) -> Iterator[None]:
    _now.append(set())
    sys.monitoring.restart_events()
    _tests[item.nodeid] = {"seconds": 0.0, "passed": True, "fixtures": _fixture_keys(item)}
    result = yield
    _tests[item.nodeid]["reached"] = sorted(_now.pop())
    return result


@pytest.hookimpl(wrapper=True)
def pytest_fixture_setup(fixturedef: Any, request: Any) -> Iterator[None]:
    if fixturedef.scope == "function":
        return (yield)
    _now.append(set())
    sys.monitoring.restart_events()
    start = time.perf_counter()
    try:
        return (yield)
    finally:
        key = f"{fixturedef.baseid}::{fixturedef.argname}"
        seen = _fixtures.setdefault(key, {"seconds": 0.0, "reached": []})
        seen["seconds"] = max(seen["seconds"], time.perf_counter() - start)
        seen["reached"] = sorted(set(seen["reached"]) | _now.pop())
        sys.monitoring.restart_events()


def pytest_runtest_logreport(report: Any) -> None:
    one = _tests[report.nodeid]
    if report.when == "call":
        one["seconds"] = report.duration
    if report.outcome != "passed":
        one["passed"] = False


def pytest_sessionfinish() -> None:
    kept = {"tests": _tests, "fixtures": _fixtures}
    Path(os.environ["REACHED_FILE"]).write_text(json.dumps(kept), encoding="utf-8")
