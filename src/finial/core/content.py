"""A hash of what something was computed from: equal content gives an equal hash, on any machine."""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import Field, fields, is_dataclass
from enum import Enum
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

LATER = MappingProxyType({"later": True})
"""Metadata of a field without which older hashes are to stay as they were."""
PACKAGE = Path(__file__).resolve().parents[1]


def content_hash(*things: object) -> str:
    """Hash numbers, texts, arrays and records of them, in order.

    Parameters
    ----------
    *things : object
        Numbers, texts, arrays of any shape, enums, tuples, mappings, and records that hold such.

    Returns
    -------
    str
        32 hexadecimal digits.

    Raises
    ------
    TypeError
        If something has no content that could be told apart.

    Notes
    -----
    Records count by the name of their class and by every field; one that came ``LATER`` than others were
    hashed counts unless it is at its default. Paths and functions have no
    content here and are refused: what stands in a file is not what its name says.

    References
    ----------
    .. [1] BLAKE2, RFC 7693.

    Examples
    --------
    >>> content_hash(1.0, (2, "a")) == content_hash(1.0, (2, "a"))
    True
    >>> content_hash(np.zeros(3)) == content_hash(np.zeros((3, 1)))
    False
    """
    digest = hashlib.blake2b(digest_size=16)
    for thing in things:
        _feed(digest, thing)
    return digest.hexdigest()


@cache
def code_hash() -> str:
    """Hash of every source and table of Finial, and of the array library: other code, other answers."""
    digest = hashlib.blake2b(np.__version__.encode(), digest_size=16)
    for path in sorted(PACKAGE.rglob("*")):
        if path.suffix in (".py", ".csv"):
            digest.update(path.relative_to(PACKAGE).as_posix().encode())
            digest.update(path.read_bytes())
    return digest.hexdigest()


def _counts(one: Field[Any], thing: object) -> bool:
    return not one.metadata.get("later") or getattr(thing, one.name) != one.default


def _feed(digest: Any, thing: object) -> None:
    kind = type(thing).__name__
    if isinstance(thing, np.ndarray):
        array = cast("NDArray[np.generic]", thing)
        digest.update(f"array {array.dtype} {array.shape}".encode())
        digest.update(np.ascontiguousarray(array).tobytes())
    elif thing is None or isinstance(thing, str | int | float | bool | np.generic):
        digest.update(f"{kind} {thing!r};".encode())
    elif isinstance(thing, Enum):
        digest.update(f"{kind}.{thing.name};".encode())
    else:
        _feed_inside(digest, thing)


def _feed_inside(digest: Any, thing: object) -> None:
    digest.update(f"<{type(thing).__name__}".encode())
    inside: list[object]
    if isinstance(thing, Mapping):
        pairs = cast("Mapping[object, object]", thing).items()
        inside = [part for pair in sorted(pairs, key=lambda pair: str(pair[0])) for part in pair]
    elif isinstance(thing, tuple | list):
        inside = list(cast("Iterable[object]", thing))
    elif is_dataclass(thing):
        inside = [
            part
            for one in fields(thing)
            if _counts(one, thing)
            for part in (one.name, getattr(thing, one.name))
        ]
    elif hasattr(thing, "model_fields_set"):
        # A record of the sheet gives its fields in pairs.
        fields_in_pairs = dict(cast("Iterable[tuple[str, object]]", thing))
        inside = [part for pair in fields_in_pairs.items() for part in pair]
    else:
        raise TypeError(f"a {type(thing).__name__} has no content that could be told apart")
    for part in inside:
        _feed(digest, part)
    digest.update(b">")
