"""Files written whole or not at all."""

import errno
import os
import tempfile
from collections.abc import Callable, Generator, Iterable, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

_FULL = (errno.ENOSPC, errno.EDQUOT)
_SCRATCH = ".tmp"
"""Ending of a file that is not yet in place."""


def write_atomically(path: Path, content: bytes) -> None:
    """Write beside the file, flush to the disk, then put it in place in one step.

    An interrupted write leaves the old file as it was. The folder must be there; the
    permissions of an older file are kept. A link is followed where it stays in its own folder.

    Raises
    ------
    OSError
        Naming the file, if its folder cannot be written to or the disk is full, the file is a link that
        leads out of its folder, or what is there is no file: a device, a pipe, a folder; nothing is left
        behind.
    """
    target = Path(os.path.realpath(path))
    _require_own_file(path, target)
    try:
        _put_in_place(target, content)
    except OSError as error:
        # The system names the scratch file, or none at all where a write fails.
        if error.errno is not None:
            error.filename = str(path)
        raise


def why_not_written(error: OSError) -> str:
    """Say why something could not be written, and what helps.

    Examples
    --------
    >>> why_not_written(OSError(errno.ENOSPC, "No space left on device"))
    'the disk is full: make room and run the same command again'
    """
    if error.errno in _FULL:
        return "the disk is full: make room and run the same command again"
    if error.errno == errno.EFBIG:
        return "files of that size may not be written here: lift the limit and run the same command again"
    return error.strerror or str(error)


def _put_in_place(target: Path, content: bytes) -> None:
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}-", suffix=_SCRATCH)
    scratch = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        scratch.chmod(_mode(target))
        scratch.replace(target)
    finally:
        scratch.unlink(missing_ok=True)


def clear_unfinished(folder: Path, names: Iterable[str]) -> None:
    """Take away what a kill left of files that were being written.

    Only whoever holds the folder alone may: another's file that is being written looks the same. What
    cannot be taken away stays; it is in nobody's way.

    Parameters
    ----------
    folder : Path
        Where they were to stand.
    names : iterable of str
        Their names, with ``*`` for what differs.
    """
    for name in names:
        for path in folder.glob(f".{name}-*{_SCRATCH}"):
            with suppress(OSError):
                path.unlink()


@contextmanager
def whole_folder(target: Path) -> Generator[Path]:
    """Give a folder to fill, which becomes ``target`` once it is whole: nothing half-written is left behind.

    Raises
    ------
    OSError
        If ``target`` holds something already, or nothing can be written beside it; ``target`` is named.
    """
    if target.exists() and any(target.iterdir()):
        raise OSError(errno.ENOTEMPTY, "is not empty: give a new folder", str(target))
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=target.parent, prefix=".finial-new-") as scratch:
            filled = Path(scratch) / "copy"
            filled.mkdir()
            yield filled
            if target.exists():
                target.rmdir()
            filled.rename(target)
    except OSError as error:
        # It was filled in a folder of its own, whose name says nothing to anyone.
        error.filename = str(target)
        raise


def write_folder(target: Path, contents: Mapping[str, bytes], own: Callable[[str], bool]) -> None:
    """Write files into a folder all at once; one that holds nothing but our own is replaced as a whole.

    Parameters
    ----------
    target : Path
        The folder; made where it is not there.
    contents : mapping of bytes
        What to write, by the name of each file.
    own : callable
        Whether a name is one that this command gives: what else is there is never touched.

    Raises
    ------
    OSError
        If the folder holds anything else, or nothing can be written beside it; ``target`` is named.
    """
    others = sorted(one.name for one in target.iterdir() if not own(one.name)) if target.is_dir() else []
    if others or (target.exists() and not target.is_dir()) or target.is_symlink():
        why = f"holds {others[0]!r}, which is not of this command" if others else "is no folder"
        raise OSError(errno.ENOTEMPTY, f"{why}: give a new folder", str(target))
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=target.parent, prefix=".finial-new-") as scratch:
            filled = Path(scratch) / "new"
            filled.mkdir()
            for name, content in contents.items():
                write_atomically(filled / name, content)
            if target.exists():
                target.rename(Path(scratch) / "old")
            filled.rename(target)
    except OSError as error:
        error.filename = str(target)
        raise


def make_folder(folder: Path, within: Path) -> None:
    """Make a folder that nobody asked for by name, and refuse one that lies elsewhere.

    Raises
    ------
    OSError
        If it cannot be made, or is a link that leads out of ``within``.
    """
    if not Path(os.path.realpath(folder)).is_relative_to(os.path.realpath(within)):
        raise OSError(errno.ELOOP, "is a link that leads out of the project: name a folder", str(folder))
    folder.mkdir(parents=True, exist_ok=True)


def _require_own_file(path: Path, target: Path) -> None:
    if path.is_symlink() and not target.is_relative_to(os.path.realpath(path.parent)):
        raise OSError(errno.ELOOP, "is a link that leads out of its folder: name another file", str(path))
    if target.is_symlink():
        raise OSError(errno.ELOOP, "is a link in a circle: name another file", str(path))
    if target.exists() and not target.is_file():
        raise OSError(errno.EINVAL, "is no file that could be replaced: name another", str(path))


def _mode(target: Path) -> int:
    """Permissions of the file that is there, else those of any new file."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
