"""Files written whole or not at all."""

import os
import tempfile
from pathlib import Path


def write_atomically(path: Path, content: bytes) -> None:
    """Write beside the file, flush to the disk, then put it in place in one step.

    An interrupted write leaves the old file as it was. The folder must be there; the
    permissions of an older file are kept.

    Raises
    ------
    OSError
        If the folder cannot be written to; nothing is left behind.
    """
    target = Path(os.path.realpath(path))
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}-", suffix=".tmp")
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


def _mode(target: Path) -> int:
    """Permissions of the file that is there, else those of any new file."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
