# pyright: basic
# The compiler tells no types of its cache.
"""Keep what is compiled for graphics cards, as compiled code of processors is kept: sealed, by its sources.

Compiling a kernel for a card takes a quarter to half a minute of every start; reading it takes a moment.
"""

import importlib
from collections.abc import Callable
from typing import Any

from finial.core.compiled import Kernels
from finial.core.sealed_cache import SealedFiles

_SETTINGS = ("numba.core.config", "numba.cuda.core.config")
"""numba-cuda has settings of its own beside numba's, from the release on that left numba."""


class _CardFiles(SealedFiles):
    """Sealed files, written by the serializer of the card's own compiler."""

    def __init__(self, plain: Any) -> None:
        super().__init__(
            cache_path=plain._cache_path,
            filename_base=plain._index_name.removesuffix(".nbi"),
            source_stamp=plain._source_stamp,
        )
        self._dump = plain._dump


def kept_for_cards(kernels: Kernels) -> Callable[[Callable[..., Any]], Any]:
    """Decorate a kernel of a card, so that its machine code is kept in the folder of its sources.

    Parameters
    ----------
    kernels : Kernels
        Every file that the kernel stands in.

    Returns
    -------
    decorator : callable
        Compiles at the first launch, or reads what was compiled before.
    """

    def decorate(function: Callable[..., Any]) -> Any:
        from numba import cuda

        folder = kernels.folder()
        if folder is None:
            return cuda.jit(function)
        before = {settings: settings.CACHE_DIR for settings in _settings()}
        try:
            for settings in before:
                settings.CACHE_DIR = str(folder)
            kernel = cuda.jit(cache=True)(function)
        finally:
            for settings, value in before.items():
                settings.CACHE_DIR = value
        _seal(kernel)
        return kernel

    return decorate


def _settings() -> list[Any]:
    found = []
    for name in _SETTINGS:
        try:
            found.append(importlib.import_module(name))
        except ModuleNotFoundError:
            continue
    return found


def _seal(kernel: Any) -> None:
    """Put sealed files in the place of the compiler's own; a simulated card keeps nothing."""
    plain = getattr(getattr(kernel, "_cache", None), "_cache_file", None)
    if plain is None:
        return
    kernel._cache._cache_file = _CardFiles(plain)
