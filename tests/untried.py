"""Whole answers for tests that read no advice: to try what would turn each finding takes most of the time."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from finial.files.kept import kept
from finial.findings import advice, kept_check


@contextmanager
def untried() -> Iterator[None]:
    """Give no advice meanwhile; whole answers are kept under a name that only such tests ask for."""

    def apart(name: str, content: str, compute: Callable[[], Any]) -> Any:
        return kept(f"untried-{name}", content, compute)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(advice, "advised", lambda _vehicle, before, _tell: before)
        patch.setattr(kept_check, "kept", apart)
        yield
