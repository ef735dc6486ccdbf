"""Answers kept in the user's cache folder by the content they were computed from.

Looking again costs nothing then. Every file carries a checksum; one that is damaged, or of
other code, is computed anew.
"""

import hashlib
import logging
import os
import pickle
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any, TypeVar

from finial.core.content import code_hash
from finial.files.write import write_atomically

Kept = TypeVar("Kept")
MOST_FILES = 200
MOST_WHOLE = 60
MOST_TRIALS = 60
MOST_DAMAGED = 5
TRIAL = "trial"
"""Under what whole answers to what is tried are kept."""
WHOLE = ("check", "advice")
"""Under what whole answers to sheets are kept, and what was tried for them."""
_CHECK_BYTES = 32


def kept(name: str, content: str, compute: Callable[[], Kept]) -> Kept:
    """Return what was computed from this content before, or compute and keep it.

    ``FINIAL_CACHE_DIR`` names another folder than the user's; where none can be written, nothing is kept.
    """
    path = _path(name, content)
    if path is None:
        return compute()
    found: tuple[Kept] | None = _read(path)
    if found is not None:
        return found[0]
    made = compute()
    _write(path, made)
    return made


def kept_before(name: str, content: str) -> Any | None:
    """Return what was computed from this content before; ``None`` where nothing was, or it is not whole."""
    path = _path(name, content)
    found = None if path is None else _read(path)
    return None if found is None else found[0]


def _path(name: str, content: str) -> Path | None:
    folder = answers_folder()
    return None if folder is None else folder / f"{name}-{content}-{code_hash()[:16]}.answer"


def answers_folder() -> Path | None:
    """Folder of kept answers, or ``None`` where it cannot be written."""
    chosen = os.environ.get("FINIAL_CACHE_DIR")
    if chosen:
        folder = Path(chosen) / "answers"
    else:
        import platformdirs

        folder = Path(platformdirs.user_cache_dir("finial", appauthor=False)) / "answers"
    try:
        # Only the user may write here: what is kept is read back as objects.
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError:
        return None
    own = not hasattr(os, "getuid") or folder.stat().st_uid == os.getuid()
    return folder if own and os.access(folder, os.W_OK) else None


def _read(path: Path) -> tuple[Any] | None:
    """Read one answer; nothing where it is not there, or not whole."""
    try:
        raw = path.read_bytes()
    except OSError:
        return None
    check, body = raw[:_CHECK_BYTES], raw[_CHECK_BYTES:]
    if hashlib.blake2b(body, digest_size=_CHECK_BYTES).digest() != check:
        _set_aside(path)
        return None
    with suppress(OSError):
        os.utime(path)  # what is asked for again is not the oldest
    return (pickle.loads(body),)


def _set_aside(path: Path) -> None:
    """Move a damaged answer out of the way, and say so."""
    try:
        path.replace(path.with_name(f"{path.name}.damaged"))
    except OSError:
        return
    logging.getLogger("finial").warning("%s was damaged: set aside as *.damaged, and computed anew", path)


def _write(path: Path, made: object) -> None:
    body = pickle.dumps(made)
    try:
        write_atomically(path, hashlib.blake2b(body, digest_size=_CHECK_BYTES).digest() + body)
        _tidied(path.parent)
    except OSError:
        return  # a full disk keeps no answer, and loses none


def _tidied(folder: Path) -> None:
    """Drop those that nobody asked for longest; many small answers push no whole one out."""
    answers = set(folder.glob("*.answer"))
    trials = set(folder.glob(f"{TRIAL}-*.answer"))
    whole = {path for name in WHOLE for path in folder.glob(f"{name}-*.answer")}
    damaged = set(folder.glob("*.damaged"))
    for files, most in (
        (answers - trials - whole, MOST_FILES),
        (whole, MOST_WHOLE),
        (trials, MOST_TRIALS),
        (damaged, MOST_DAMAGED),
    ):
        for path in sorted(files, key=_age, reverse=True)[most:]:
            path.unlink(missing_ok=True)


def _age(path: Path) -> float:
    """When a file was written or read last; another process may have dropped it meanwhile."""
    try:
        return path.stat().st_mtime
    except FileNotFoundError:
        return 0.0
