"""Every table that a test of the report comes by names columns that it has, each once and in order."""

import functools
from collections.abc import Generator
from contextlib import contextmanager
from typing import Any

from finial.report.document import Table


@contextmanager
def columns_looked_at() -> Generator[None, None, None]:
    """Refuse every table made meanwhile that sets a column right, or leaves one to pages, that it lacks."""
    made: Any = Table.__init__

    @functools.wraps(made)
    def looked_at(self: Table, **given: Any) -> None:
        made(self, **given)
        for named in (self.numbers, self.pages_only):
            there = sorted(set(named) & set(range(len(self.columns))))
            assert list(named) == there, f"table {self.title!r} of {self.columns}: {named}"

    Table.__init__ = looked_at
    try:
        yield
    finally:
        Table.__init__ = made
