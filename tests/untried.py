"""Whole answers for tests that read no advice: to try what would turn each finding takes most of the time."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.files.kept import kept
from finial.findings import advice, kept_check
from finial.findings.check import Tell
from finial.findings.readiness import Readiness


@contextmanager
def untried() -> Iterator[None]:
    """Give no advice meanwhile; whole answers are kept under a name that only such tests ask for."""

    def apart(name: str, content: str, compute: Callable[[], Any]) -> Any:
        return kept(f"untried-{name}", content, compute)

    def as_before(_vehicle: LoadedVehicle, before: Readiness, _tell: Tell) -> Readiness:
        return before

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(advice, "advised", as_before)
        patch.setattr(kept_check, "kept", apart)
        yield
