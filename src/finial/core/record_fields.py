"""The fields of records: named once for each kind, read all at once."""

from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import cache
from operator import attrgetter
from typing import Any


@cache
def field_names(kind: type) -> tuple[str, ...]:
    """Names of the fields of a kind of record; none of what is no record.

    Examples
    --------
    >>> from finial.core.estimates import Estimate
    >>> field_names(Estimate)[:3], field_names(int)
    (('value', 'low', 'high'), ())
    """
    return tuple(field.name for field in fields(kind)) if is_dataclass(kind) else ()


def field_values(record: object) -> tuple[Any, ...]:
    """Values of a record's fields in the order of their names; none of what is no record.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> field_values(exact(2.0))[:3], field_values(2.0)
    ((2.0, 2.0, 2.0), ())
    """
    return _reader(type(record))(record)


@cache
def _reader(kind: type) -> Callable[[object], tuple[Any, ...]]:
    names = field_names(kind)
    if len(names) > 1:
        return attrgetter(*names)
    return lambda record: tuple([getattr(record, name) for name in names])
