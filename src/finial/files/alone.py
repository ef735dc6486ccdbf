"""One run at a time in a folder: a lock that the system lets go of when its holder ends, killed or not."""

import os
import sys
import time
from collections.abc import Generator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from finial.core.errors import CampaignError
from finial.files.write import why_not_written

LOCK: Final = ".running"
_LOOK_AGAIN_S = 0.05


@contextmanager
def sole_run(folder: Path) -> Generator[None, None, None]:
    """Hold a folder, which is made if it is not there, against every other run that asks for it.

    Raises
    ------
    CampaignError
        If another run holds it, or it cannot be made or written to.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        # Never through a link: the lock stays in its folder.
        handle = os.open(folder / LOCK, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)
    except OSError as error:
        raise CampaignError(f"{folder} cannot be made or written to: {why_not_written(error)}") from error
    try:
        _take(handle, folder)
        yield
    finally:
        # Closing lets go of the lock. The file stays: taking it away would let two in at once.
        os.close(handle)


@contextmanager
def holding(lock: Path, *, wait: bool = False) -> Generator[bool, None, None]:
    """Hold a file, which is made if it is not there, and say whether nobody else did.

    Parameters
    ----------
    lock : Path
        The file; it stays, as taking it away would let two in at once.
    wait : bool
        Wait until the other lets go.

    Raises
    ------
    OSError
        If it cannot be made.
    """
    lock.parent.mkdir(parents=True, exist_ok=True)
    handle = os.open(lock, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)
    try:
        taken = _taken(handle)
        while wait and not taken:
            time.sleep(_LOOK_AGAIN_S)
            taken = _taken(handle)
        yield taken
    finally:
        os.close(handle)


def _take(handle: int, folder: Path) -> None:
    if not _taken(handle):
        told = os.read(handle, 100).decode(errors="replace").strip()
        who = f" ({told})" if told.isprintable() and told else ""
        raise CampaignError(f"another run writes to {folder}{who}: wait for it, or name another folder")
    try:
        os.ftruncate(handle, 0)
        os.write(handle, f"process {os.getpid()}\n".encode())
    except OSError as error:
        raise CampaignError(f"{folder} cannot be written to: {why_not_written(error)}") from error


def _taken(handle: int) -> bool:
    try:
        if sys.platform == "win32":
            import msvcrt

            os.lseek(handle, 1000, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
            os.lseek(handle, 0, os.SEEK_SET)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
