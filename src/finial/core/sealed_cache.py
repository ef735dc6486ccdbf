# pyright: basic
# The compiler tells no types of its cache.
"""The compiler's cache with a seal on every file: what is damaged is set aside, and made anew.

The compiler itself trusts its files: an empty index reads as the end of the input, a data file cut short
fails at every start, a changed byte of machine code runs. The seal stands after the pickled content,
where the compiler does not look.
"""

import hashlib
import importlib
import io
import logging
import pickle
from collections.abc import Callable, Generator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

_caching: Any = importlib.import_module("numba.core.caching")
_LOG = logging.getLogger("finial")
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
            self._save_over(key, data)
        except OSError as error:
            # What was compiled is there and runs: only the next start has to compile it again.
            why = error.strerror or error
            _LOG.warning(
                "compiled code cannot be kept in %s (%s): compiled anew each time", self._index_path, why
            )

    def _save_over(self, key: Any, data: Any) -> None:
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

    @contextmanager
    def _open_for_write(self, filepath: str) -> Generator[io.BytesIO, None, None]:
        """Put content and seal in place in one step: killed at any point, no file stands there unsealed."""
        buffer = io.BytesIO()
        yield buffer
        raw = buffer.getvalue()
        with super()._open_for_write(filepath) as file:
            file.write(raw + _sealed(raw))

    def _set_aside(self) -> None:
        """Move index and data out of the way, and say so: one of them damaged, none is worth its word."""
        index = Path(self._index_path)
        for path in (index, *index.parent.glob(f"{index.stem}.*.nbc")):
            if path.exists():
                path.replace(path.with_name(f"{path.name}.damaged"))
        _LOG.warning("compiled code in %s was damaged: set aside as *.damaged, and compiled anew", index)


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


def _sealed(raw: bytes) -> bytes:
    return hashlib.blake2b(raw, digest_size=_SEAL_BYTES).digest()
