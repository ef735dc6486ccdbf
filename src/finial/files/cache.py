"""Arrays kept between runs under the hash of what they came from.

The cache may vanish, be damaged or be read-only at any time: that is a miss and
never an error. Nothing in it is executed; arrays are stored without pickles.
"""

import hashlib
import io
import os
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finial.files.write import write_atomically

FOLDER_VARIABLE = "FINIAL_CACHE_DIR"


def key_of(*parts: bytes | str | float | None) -> str:
    """Hash of everything an answer depends on, in order: file bytes, options, version.

    Examples
    --------
    >>> key_of("ab", "c") == key_of("a", "bc")
    False
    """
    digest = hashlib.sha256()
    for part in parts:
        content = part if isinstance(part, bytes) else repr(part).encode()
        digest.update(f"{type(part).__name__}:{len(content)}:".encode())
        digest.update(content)
    return digest.hexdigest()


def recall(key: str) -> dict[str, NDArray] | None:
    """Return the arrays kept under a key, ``None`` when there are none or they are damaged."""
    try:
        # From memory: given a damaged file by its path, NumPy leaves it open.
        with np.load(io.BytesIO(_path(key).read_bytes()), allow_pickle=False) as stored:
            return {name: stored[name] for name in stored.files}
    except (OSError, ValueError, EOFError, KeyError, zipfile.BadZipFile, zlib.error):
        return None


def remember(key: str, arrays: Mapping[str, NDArray]) -> bool:
    """Keep arrays under a key; ``False`` when the cache cannot be written to."""
    buffer = io.BytesIO()
    np.savez(buffer, allow_pickle=False, **arrays)
    try:
        path = _path(key)
        path.parent.mkdir(parents=True, exist_ok=True)
        write_atomically(path, buffer.getvalue())
    except OSError:
        return False
    return True


def cache_folder() -> Path:
    """Folder of the cache: the user's cache folder unless ``FINIAL_CACHE_DIR`` names another."""
    chosen = os.environ.get(FOLDER_VARIABLE)
    if chosen:
        return Path(chosen)
    from platformdirs import user_cache_path

    return user_cache_path("finial", appauthor=False)


def _path(key: str) -> Path:
    name = hashlib.sha256(key.encode()).hexdigest()
    return cache_folder() / "arrays" / name[:2] / f"{name}.npz"
