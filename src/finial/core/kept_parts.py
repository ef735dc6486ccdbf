"""Parts of an answer kept by what they were computed from: what was read decides what is kept.

On the page one thing moves and the rest stays. A part that is kept is a pure function of its
arguments: it can read nothing else, so that it never outlives what it read.
"""

from collections import deque
from collections.abc import Callable, Hashable, Iterable
from functools import lru_cache, wraps
from typing import Any, Concatenate, ParamSpec, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from finial.core.estimates import Estimate
from finial.core.record_fields import field_values

Given = ParamSpec("Given")
Found = TypeVar("Found")
Looked = TypeVar("Looked")
_forget: list[Callable[[], None]] = []
_LOOKED_INTO = frozenset({tuple, list, np.ndarray})
"""What may hold arrays, which have no hash."""
_NO_ARRAYS = frozenset({str, int, float, bool, type(None), Estimate})
"""What is never locked, most of what is kept by number."""


def kept(most: int) -> Callable[[Callable[Given, Found]], Callable[Given, Found]]:
    """Keep the last results of a function by the content of its arguments.

    Parameters
    ----------
    most : int
        How many results are kept; the one asked for longest ago goes first.

    Returns
    -------
    keeping : callable
        Turns a function into one that keeps. Its arguments are given by place: numbers, texts, arrays, tuples
        and frozen records that can be hashed. Arrays count by their numbers, entries of the sheet by their
        fields, and records of arrays, which are equal only to themselves, by being the very same.

    Raises
    ------
    TypeError
        When it is called with something that cannot be told apart.

    Notes
    -----
    Arrays in what is kept are locked against writing.

    Examples
    --------
    >>> @kept(2)
    ... def doubled(values):
    ...     print("computed")
    ...     return 2 * values
    >>> doubled(np.ones(2)).tolist(), doubled(np.ones(2)).tolist()
    computed
    ([2.0, 2.0], [2.0, 2.0])
    """

    def keeping(compute: Callable[Given, Found]) -> Callable[Given, Found]:
        @lru_cache(most)
        def known(*read: Any) -> Found:
            given = [one.given if type(one) is _Content else one for one in read]
            found = cast("Found", cast("Any", compute)(*given))
            _lock(found, given)
            return found

        @wraps(compute)
        def kept_part(*given: Any) -> Found:
            try:
                return known(*given)
            except TypeError:  # arrays have no hash
                told_apart = [_told_apart(one) if type(one) in _LOOKED_INTO else one for one in given]
            return known(*told_apart)

        _forget.append(known.cache_clear)
        return cast("Callable[Given, Found]", kept_part)

    return keeping


def kept_as_read(
    most: int,
) -> Callable[[Callable[Concatenate[Looked, Given], Found]], Callable[Concatenate[Looked, Given], Found]]:
    """Keep the last results of a function by the fields that it read of its first argument.

    Parameters
    ----------
    most : int
        How many results are kept; the oldest goes first.

    Returns
    -------
    keeping : callable
        Turns a function of a frozen record into one that keeps. A result is found again while every field
        that led to it is the very same and all other arguments are equal; other fields may change.

    Notes
    -----
    A method of the record is a new one at each look: with one nothing is found again. The result must not
    hold the record. Arrays in what is kept are locked against writing.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> @kept_as_read(2)
    ... def doubled(record):
    ...     print("computed")
    ...     return 2 * record.length
    >>> length = 1.5
    >>> doubled(SimpleNamespace(length=length, name="a")), doubled(SimpleNamespace(length=length, name="b"))
    computed
    (3.0, 3.0)
    """

    def keeping(
        compute: Callable[Concatenate[Looked, Given], Found],
    ) -> Callable[Concatenate[Looked, Given], Found]:
        known: deque[tuple[object, dict[str, object], Found]] = deque(maxlen=most)

        @wraps(compute)
        def kept_part(record: Looked, *given: Given.args, **named: Given.kwargs) -> Found:
            others = (type(record), given, named)
            for were, read, found in tuple(known):
                if were == others and all([getattr(record, name) is one for name, one in read.items()]):
                    return found
            watched = _Watched(record)
            found = compute(cast("Looked", watched), *given, **named)
            _lock(found, [])
            known.appendleft((others, watched.read, found))
            return found

        _forget.append(known.clear)
        return kept_part

    return keeping


class _Watched:
    """A record whose fields that are read are noted."""

    __slots__ = ("_record", "read")

    def __init__(self, record: object) -> None:
        self._record = record
        self.read: dict[str, object] = {}

    def __getattr__(self, name: str) -> Any:
        value = self.read[name] = getattr(self._record, name)
        return value


def forget_all() -> None:
    """Forget every kept part: what is asked next is computed afresh."""
    for forget in _forget:
        forget()


class _Content:
    """An argument with arrays in it, told apart by their numbers as they were when it was given."""

    __slots__ = ("_numbers", "given")

    def __init__(self, given: object) -> None:
        self.given = given
        self._numbers = _numbers(given)

    def __hash__(self) -> int:
        return hash(self._numbers)

    def __eq__(self, other: object) -> bool:
        return type(other) is _Content and self._numbers == other._numbers


def _told_apart(thing: Any) -> Hashable:
    return _Content(thing) if _has_arrays(thing) else thing


def _has_arrays(thing: Any) -> bool:
    if type(thing) is not tuple:
        return True
    return any([type(one) in _LOOKED_INTO and _has_arrays(one) for one in cast("tuple[object, ...]", thing)])


def _numbers(thing: Any) -> Hashable:
    """Shape, kind and bytes of every array; other things as they are."""
    if type(thing) not in _LOOKED_INTO:
        return thing
    if not isinstance(thing, np.ndarray):
        return tuple([_numbers(one) for one in cast("Iterable[object]", thing)])
    array = cast("NDArray[np.generic]", thing)
    return array.shape, array.dtype.str, array.tobytes()


def _lock(thing: object, given: list[Any]) -> None:
    """Lock every array in what is kept: it is handed out again. A record that was given is its maker's."""
    inside: Iterable[object]
    if isinstance(thing, np.ndarray):
        cast("NDArray[np.generic]", thing).flags.writeable = False
        return
    if isinstance(thing, tuple | list):
        inside = cast("Iterable[object]", thing)
    else:
        inside = () if any(thing is one for one in given) else field_values(thing)
    for one in inside:
        if type(one) not in _NO_ARRAYS:
            _lock(one, given)
