"""Files of flights: one compressed Parquet file per range, its name saying which flights and their checksum.

A file appears whole or not at all: it is written under another name, flushed to the disk and then
renamed. One whose content does not fit the checksum in its name is set aside, and its flights are
missing again.
"""

import hashlib
import io
import re
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finial.campaign.extra import needed
from finial.core.errors import CampaignError
from finial.files.write import why_not_written, write_atomically
from finial.flight.many import RESULTS, ManyFlights

Range = tuple[int, int]
_CHUNK = re.compile(r"flights-(\d{9})-(\d{9})-([0-9a-f]{16})\.parquet")
ASIDE = ".damaged"
"""Ending of a file that was set aside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chunk:
    """One file of flights."""

    path: Path
    first: int
    end: int
    """The flight after the last."""
    checksum: str


def chunks(folder: Path) -> list[Chunk]:
    """Files of flights that lie in the folder, in order.

    Raises
    ------
    CampaignError
        If two files hold the same flight.
    """
    named = ((path, _CHUNK.fullmatch(path.name)) for path in folder.glob("flights-*.parquet"))
    found = sorted(
        (
            Chunk(path=path, first=int(name[1]), end=int(name[2]) + 1, checksum=name[3])
            for path, name in named
            if name
        ),
        key=lambda chunk: chunk.first,
    )
    for one, other in pairwise(found):
        if other.first < one.end:
            raise CampaignError(
                f"{folder}: two files hold flight {other.first}: two runs wrote here at once. Delete one"
            )
    return found


def covered(folder: Path) -> list[Range]:
    """Ranges that lie in the folder, in order.

    Raises
    ------
    CampaignError
        If two files hold the same flight.
    """
    return [(chunk.first, chunk.end) for chunk in chunks(folder)]


def is_whole(chunk: Chunk) -> bool:
    """Say whether a file holds to the last bit what was written."""
    try:
        return checksum(chunk.path.read_bytes()) == chunk.checksum
    except OSError:
        return False


def set_damaged_aside(folder: Path) -> list[str]:
    """Rename every file that is not as it was written; their flights are missing from then on."""
    damaged = [chunk.path for chunk in chunks(folder) if not is_whole(chunk)]
    for path in damaged:
        path.replace(path.with_name(path.name + ASIDE))
    return [path.name for path in damaged]


def keep(folder: Path, flights: ManyFlights) -> Path:
    """Write one range of flights; an interrupted write leaves nothing behind.

    Raises
    ------
    CampaignError
        If the disk is full or the folder cannot be written to; what was kept before stays.
    """
    arrow, parquet = needed("pyarrow"), needed("pyarrow.parquet")
    last = flights.first + len(flights.results) - 1
    columns: dict[str, NDArray[np.generic]] = {"flight": np.arange(flights.first, last + 1)}
    columns |= {name: flights.results[:, index] for index, name in enumerate(RESULTS)}
    columns |= {draw_column(index): flights.drawn[:, index] for index in range(flights.drawn.shape[1])}
    buffer = io.BytesIO()
    parquet.write_table(arrow.table(columns), buffer, compression="zstd", use_dictionary=False)
    content = buffer.getvalue()
    path = folder / f"flights-{flights.first:09d}-{last:09d}-{checksum(content)}.parquet"
    write_kept(path, content, folder)
    return path


def checksum(content: bytes) -> str:
    """Sixteen hexadecimal digits of SHA-256, as they stand in the file's name."""
    return hashlib.sha256(content).hexdigest()[:16]


def draw_column(index: int) -> str:
    """Name of the column that keeps a draw's values; the manifest says what each stands for."""
    return f"draw_{index:03d}"


def write_kept(path: Path, content: bytes, folder: Path) -> None:
    """Write a file of a campaign whole or not at all.

    Raises
    ------
    CampaignError
        If the disk is full or the folder cannot be written to; what was kept before stays.
    """
    try:
        write_atomically(path, content)
    except OSError as error:
        raise CampaignError(
            f"{folder} cannot be written to: {why_not_written(error)}. Nothing that was kept is lost"
        ) from error
