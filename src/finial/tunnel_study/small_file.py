"""A small file of arrays of all winds of a study, with what each is of: for the page, and beside a sheet."""

import io
import json
import zipfile
import zlib
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, TypeAdapter, ValidationError

from finial.core.errors import CampaignError, MissingData
from finial.files.tunnel_runs import Hash, Positive

Arrays = dict[str, NDArray[Any]]
_DAMAGE = (
    OSError, ValueError, KeyError, IndexError, EOFError, zipfile.BadZipFile, zlib.error, ValidationError,
)  # fmt: skip


class WindTold(BaseModel):
    """Which shape was blown, and how."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    shape: Hash
    bare: bool
    """Without the fins of the sheet."""
    angle_rad: float
    roll_rad: float
    cells: Positive
    """Of the finest grid to a width."""


class _OfWind(Protocol):
    @property
    def told(self) -> WindTold: ...


Told = TypeVar("Told", bound=WindTold)
Kept = TypeVar("Kept", bound=_OfWind)


def small_file(every: TypeAdapter[tuple[Told, ...]], told: tuple[Told, ...], arrays: Arrays) -> bytes:
    """Write the arrays of all winds, and what they are of."""
    buffer = io.BytesIO()
    text = np.frombuffer(every.dump_json(told), dtype=np.uint8)
    np.savez_compressed(buffer, allow_pickle=False, told=text, **arrays)
    return buffer.getvalue()


def read_small_file(
    path: Path,
    every: TypeAdapter[tuple[Told, ...]],
    kept: Callable[[tuple[Told, ...], Mapping[str, Any]], Iterable[Kept]],
) -> tuple[Kept, ...]:
    """Read what such a file keeps; nothing where there is none.

    Raises
    ------
    CampaignError
        If the file is not as it was written.
    """
    if not path.is_file():
        return ()
    try:
        with np.load(io.BytesIO(path.read_bytes()), allow_pickle=False) as stored:
            return tuple(kept(every.validate_python(json.loads(stored["told"].tobytes())), stored))
    except _DAMAGE as error:
        raise CampaignError(
            f"{path} is not as it was written: run `finial tunnel` again, it writes it anew"
        ) from error


def kept_of_shape(
    shape: str, path: Path, read: Callable[[Path], tuple[Kept, ...]], *, none: str, others: str
) -> tuple[Kept, ...]:
    """Read what a file keeps of one shape, by its folder; the same records as long as the file stays.

    Raises
    ------
    MissingData
        If there is no such file, or it is of other shapes alone: in the words given for either.
    CampaignError
        If the file is not as it was written.
    """
    try:
        state = path.stat()
    except OSError as error:
        raise MissingData(none) from error
    own = _of_shape(shape, path.parent, read, (state.st_mtime_ns, state.st_size))
    if not own:
        raise MissingData(others)
    return own


@lru_cache(maxsize=8)
def _of_shape(
    shape: str, folder: Path, read: Callable[[Path], tuple[Any, ...]], _state: tuple[int, int]
) -> tuple[Any, ...]:
    return tuple(one for one in read(folder) if one.told.shape == shape)
