"""Compile kernels once per machine and keep them in the user's cache folder.

The folder's name carries a hash of every kernel's source, because the compiler's own
cache key covers only the file a function stands in: a change in a file it calls would
otherwise go unseen.
"""

import hashlib
import importlib
import os
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numba

from finial.core import sealed_cache
from finial.core.sealed_cache import seal
from finial.core.version import __version__

_settings: Any = importlib.import_module("numba.core.config")


def inner(function: Callable[..., Any]) -> Callable[..., Any]:
    """Compile a function that only other kernels call; it lives in its caller's cache entry.

    Parameters
    ----------
    function : callable
        Python that the compiler takes.

    Returns
    -------
    kernel : callable
        Compiled when first called.
    """
    # Counting who holds an array, at every call of every inner function, takes twice the time of the
    # physics: inner kernels make no arrays, so nobody need count. And one that is called instead of laid
    # into its caller hands its vectors over in memory: a flight then takes half as long again.
    return _wrapped(function, cache=False, _nrt=False, forceinline=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kernels:
    """Kernels that call one another: a name, and every file that they stand in."""

    name: str
    home: Path
    files: tuple[str, ...]

    def outer(self, function: Callable[..., Any], *, loose: bool = False) -> Callable[..., Any]:
        """Compile a function that Python calls, and keep the machine code on disk.

        Parameters
        ----------
        function : callable
            Python that the compiler takes.
        loose : bool
            Sums may be taken in another order and products added in one go: last places differ
            between machines.

        Returns
        -------
        kernel : callable
            Compiled when first called; read from the user's cache folder where that can be written.
        """
        folder = self.folder()
        math = {"contract", "reassoc", "nsz", "arcp"} if loose else False
        if folder is None:
            return _wrapped(function, cache=False, fastmath=math)
        # The compiler reads this setting only while it wraps the function, so it is put back at once.
        before = _settings.CACHE_DIR
        _settings.CACHE_DIR = str(folder)
        try:
            kernel = _wrapped(function, cache=True, fastmath=math)
        finally:
            _settings.CACHE_DIR = before
        seal(kernel)
        return kernel

    def folder(self) -> Path | None:
        """Folder for machine code made from exactly these sources.

        Returns
        -------
        folder : Path or None
            ``None`` where none can be written.
        """
        return _folder(f"{self.name}-{self.sources_hash()}")

    def is_compiled(self, kernel: str) -> bool:
        """Say whether machine code for a kernel already lies in the cache folder.

        Parameters
        ----------
        kernel : str
            File and function, such as ``run.run``.

        Returns
        -------
        compiled : bool
            True if it does.
        """
        folder = self.folder()
        return folder is not None and any(folder.rglob(f"{kernel}-*.nbc"))

    def sources_hash(self) -> str:
        """Hash of all kernel sources and of what compiles them.

        Returns
        -------
        digest : str
            Sixteen hexadecimal digits.
        """
        digest = hashlib.sha256(f"{__version__} {numba.__version__}".encode())
        for path in (Path(__file__), Path(sealed_cache.__file__), *(self.home / name for name in self.files)):
            digest.update(path.read_bytes())
        return digest.hexdigest()[:16]


def _wrapped(function: Callable[..., Any], *, cache: bool, **more: Any) -> Callable[..., Any]:
    options: dict[str, Any] = {"cache": cache, "nogil": True, "error_model": "numpy", **more}
    return numba.njit(**options)(function)


@cache
def _folder(name: str) -> Path | None:
    folder = _user_folder() / name
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return folder if os.access(folder, os.W_OK) else None


def _user_folder() -> Path:
    """Folder of the cache: the user's cache folder unless ``FINIAL_CACHE_DIR`` names another."""
    chosen = os.environ.get("FINIAL_CACHE_DIR")
    if chosen:
        return Path(chosen)
    import platformdirs

    return Path(platformdirs.user_cache_dir("finial", appauthor=False))
