"""Whole answers for tests that read no advice: to try what would turn each finding takes most of the time."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from finial.findings import advice, kept_check


@contextmanager
def untried() -> Iterator[None]:
    """Give no advice meanwhile; whole answers are kept here alone, as no other test may be given them."""
    answers: dict[tuple[str, str], Any] = {}

    def here(name: str, content: str, compute: Callable[[], Any]) -> Any:
        if (name, content) not in answers:
            answers[name, content] = compute()
        return answers[name, content]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(advice, "advised", lambda _vehicle, before, _tell: before)
        patch.setattr(kept_check, "kept", here)
        yield
