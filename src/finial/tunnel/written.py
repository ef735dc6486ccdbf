"""Kernels for a processor, compiled from their text and kept in the user's cache folder."""

import importlib.util
import os
import sys
import types
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from finial.core.compiled import Kernels, inner
from finial.tunnel.kernel_text import INNER, KERNELS, processor_text

_SOURCES = ("collision.py", "eddies.py", "kernel_text.py", "lattice.py", "written.py")
_FILE = "tunnel_kernels.py"


@cache
def processor_kernels() -> Mapping[str, Callable[..., Any]]:
    """Compile every kernel by its name; read from the cache folder where they were before.

    Returns
    -------
    kernels : mapping
        Each compiled when first called.

    Raises
    ------
    ImportError
        If the cache folder holds a file that Python cannot read as a module.
    """
    kernels = Kernels(name="tunnel", home=Path(__file__).parent, files=_SOURCES)
    module = _module(processor_text(), kernels.folder())
    for name in INNER:
        setattr(module, name, inner(getattr(module, name)))
    return {name: kernels.outer(getattr(module, name), loose=True) for name in KERNELS}


def _module(text: str, folder: Path | None) -> Any:
    """Run the text from a file, which the compiler's cache wants, or without one."""
    if folder is None:
        module = types.ModuleType("tunnel_kernels")
        exec(compile(text, _FILE, "exec"), module.__dict__)
        return module
    path = folder / _FILE
    _put(path, text)
    spec = importlib.util.spec_from_file_location("tunnel_kernels", path)
    if spec is None or spec.loader is None:
        raise ImportError(f"{path} cannot be loaded")
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # where the compiler looks for what it kept
    spec.loader.exec_module(module)
    return module


def _put(path: Path, text: str) -> None:
    """Write it whole or not at all; another process may be writing the same."""
    if path.exists() and path.read_text("utf-8") == text:
        return
    part = path.with_suffix(f".{os.getpid()}.part")
    part.write_text(text, "utf-8")
    part.replace(path)
