# pyright: basic
# The compiler tells no types of its cache.
"""The compiler's cache with a seal on every file: what is damaged is set aside, and made anew.

The compiler itself trusts its files: an empty index reads as the end of the input, a data file cut short
fails at every start, a changed byte of machine code runs. The seal stands after the pickled content,
where the compiler does not look.
"""

import hashlib
import importlib
import logging
import os
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import Any

_caching: Any = importlib.import_module("numba.core.caching")
_SEAL_BYTES = 32
_UNREADABLE = (
    pickle.UnpicklingError,
    EOFError,
    ValueError,
    LookupError,
    AttributeError,
    TypeError,
    ImportError,
)


class _Damaged(Exception):
    """A file of the cache whose seal is broken."""


class SealedFiles(_caching.IndexDataCacheFile):
    """Index and data files of one kernel, each checked against its seal when read."""

    def load(self, key: Any) -> Any:
        """Return what is kept under a key; nothing where a file was damaged."""
        try:
            return super().load(key)
        except (_Damaged, *_UNREADABLE):
            self._set_aside()
            return None

    def save(self, key: Any, data: Any) -> None:
        """Keep it, over a damaged index too."""
        try:
            super().save(key, data)
        except (_Damaged, *_UNREADABLE):
            self._set_aside()
            super().save(key, data)

    def _load_index(self) -> Any:
        _require_seal(Path(self._index_path))
        return super()._load_index()

    def _load_data(self, name: str) -> Any:
        _require_seal(Path(self._data_path(name)))
        return super()._load_data(name)

    def _save_index(self, overloads: Any) -> None:
        super()._save_index(overloads)
        _seal(Path(self._index_path))

    def _save_data(self, name: str, data: Any) -> None:
        super()._save_data(name, data)
        _seal(Path(self._data_path(name)))

    def _set_aside(self) -> None:
        """Move index and data out of the way, and say so: one of them damaged, none is worth its word."""
        index = Path(self._index_path)
        for path in (index, *index.parent.glob(f"{index.stem}.*.nbc")):
            if path.exists():
                path.replace(path.with_name(f"{path.name}.damaged"))
        logging.getLogger("finial").warning(
            "compiled code in %s was damaged: set aside as *.damaged, and compiled anew", index
        )


def seal(kernel: Callable[..., Any]) -> None:
    """Put sealed files in the place of the compiler's own, before anything was read from them.

    With the compiler switched off a kernel is plain Python, and keeps nothing.
    """
    if not hasattr(kernel, "_cache"):
        return
    plain = kernel._cache._cache_file
    kernel._cache._cache_file = SealedFiles(
        cache_path=plain._cache_path,
        filename_base=plain._index_name.removesuffix(".nbi"),
        source_stamp=plain._source_stamp,
    )


def _require_seal(path: Path) -> None:
    """Check a file that is there; one that is not is the compiler's own affair."""
    try:
        raw = path.read_bytes()
    except FileNotFoundError:
        return
    if raw[-_SEAL_BYTES:] != _sealed(raw[:-_SEAL_BYTES]):
        raise _Damaged(path)


def _seal(path: Path) -> None:
    raw = path.read_bytes()
    beside = path.with_name(f"{path.name}.sealing.{os.getpid()}")
    beside.write_bytes(raw + _sealed(raw))
    beside.replace(path)


def _sealed(raw: bytes) -> bytes:
    return hashlib.blake2b(raw, digest_size=_SEAL_BYTES).digest()
