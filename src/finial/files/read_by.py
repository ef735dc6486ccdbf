"""The content of everything that a build sheet reads: its own text, and every file that it names."""

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from finial.core.errors import BuildSheetError
from finial.core.trees import is_list, is_table
from finial.files.source import read_toml

_DEEPEST = 4


def content_of_sheet(path: Path) -> str | None:
    """Hash a sheet and the files it names, and those that they name in turn.

    Any text of a sheet that is the name of a file in its folder counts, so that no key can be
    forgotten; where the sheet itself stands counts too, as the answer says it.

    Returns
    -------
    str or None
        32 hexadecimal digits; ``None`` for what cannot be read, which is for the reader to say.
    """
    digest = hashlib.blake2b(digest_size=16)
    files = _digests(Path(os.path.realpath(path)))
    if files is None:
        return None
    for file, told in files:
        digest.update(f"{file} {told};".encode())
    digest.update(str(path).encode())
    return digest.hexdigest()


def revision_of(path: Path) -> str | None:
    """Twelve hexadecimal digits that change with any byte of the sheet or a file it reads, wherever they lie.

    Returns
    -------
    str or None
        ``None`` for what cannot be read.
    """
    files = _digests(Path(os.path.realpath(path)))
    if files is None:
        return None
    return hashlib.blake2b(" ".join(sorted(told for _, told in files)).encode(), digest_size=6).hexdigest()


def _digests(sheet: Path) -> list[tuple[Path, str]] | None:
    if not sheet.is_file():
        return None
    told: list[tuple[Path, str]] = []
    try:
        for file in _read_by(sheet, sheet.parent, _DEEPEST):
            with file.open("rb") as opened:
                told.append((file, hashlib.file_digest(opened, "sha256").hexdigest()))
    except (OSError, ValueError, BuildSheetError):
        return None
    return told


def _read_by(file: Path, folder: Path, deepest: int) -> Iterator[Path]:
    """Yield a file, and if it is a table of keys, every file whose name stands in it."""
    yield file
    if file.suffix != ".toml" or not deepest:
        return
    for text in sorted(set(_texts(read_toml(file).values))):
        for named in sorted({folder / text, file.parent / text}):
            if named != file and _is_file_in(named, folder):
                yield from _read_by(named, folder, deepest - 1)


def _is_file_in(path: Path, folder: Path) -> bool:
    try:
        return path.is_file() and Path(os.path.realpath(path)).is_relative_to(folder)
    except (OSError, ValueError):
        return False  # a text too long, or of characters that no file's name has


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif is_table(value):
        yield from (text for one in value.values() for text in _texts(one))
    elif is_list(value):
        yield from (text for one in value for text in _texts(one))
