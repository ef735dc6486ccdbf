"""What a campaign's folder holds, read back with DuckDB."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from finial.campaign.chunks import Chunk, chunks, draw_column, is_whole
from finial.campaign.extra import needed
from finial.campaign.store import read_manifest, uncertain_number
from finial.core.errors import CampaignError
from finial.flight.kernel.layout import LANDED
from finial.flight.many import RESULTS
from finial.flight.uncertain import FAILS, Uncertain

MOST_DRAWN: Final = 200_000
"""Flights whose drawn numbers are read back: what decides is told from fewer."""
_AT_ONCE: Final = 200_000
"""Flights that are read together, or those of one file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownCampaign:
    """All flights of a campaign, in order of their numbers."""

    design: str
    seed: int
    rounding: str
    """What flew them and rounded their last bits: processors, or cards of which model."""
    results: dict[str, NDArray[np.float64]]
    """By the names of ``RESULTS``, each (n,)."""
    drawn: NDArray[np.float64]
    """Of the first flights, (k, d)."""
    failed: dict[Uncertain, NDArray[np.bool_]]
    """For each canopy's failure, in which flights it happened, (n,)."""
    draws: tuple[Uncertain, ...]
    units: tuple[str, ...]

    @property
    def count(self) -> int:
        """Number of flights."""
        return len(self.results["ended"])

    @property
    def landed(self) -> NDArray[np.bool_]:
        """Which flights came to the ground; the others stopped before, and are counted apart."""
        return self.results["ended"] == LANDED

    @property
    def lost(self) -> NDArray[np.bool_]:
        """Which flights turned over, or opened or met the ground under thrust: later numbers say nothing."""
        return self.results["loss"] > 0.0

    def landings_m(self, *, sound: bool = False) -> NDArray[np.float64]:
        """Landing points of the flights that landed, or of those not lost, (k, 2) east and north [m]."""
        which = self.landed & ~self.lost if sound else self.landed
        return np.column_stack([self.results["landing_east_m"], self.results["landing_north_m"]])[which]


def read_flown(folder: Path, flights: int | None = None) -> FlownCampaign:
    """Read a campaign's flights, or the first so many of them.

    Raises
    ------
    CampaignError
        If there are none, or a file is damaged.
    """
    duckdb, manifest = needed("duckdb"), read_manifest(folder)
    draws = tuple(uncertain_number(draw) for draw in manifest["draws"])
    files = chunks(folder)
    if not files:
        raise CampaignError(f"{folder} holds no flights yet: run the campaign first")
    damaged = [chunk.path.name for chunk in files if not is_whole(chunk)]
    if damaged:
        raise CampaignError(
            f"{folder}: {', '.join(damaged)} not as written (checksum). Run the campaign again: "
            "damaged files are set aside, and only their flights are flown anew"
        )
    parts: dict[str, list[NDArray[Any]]] = {}
    try:
        with duckdb.connect() as connection:
            for at, group in _groups(files):
                names = _wanted(draws, every=at < MOST_DRAWN)
                limit = "" if flights is None else f" where flight < {int(flights)}"
                query = f"select {', '.join(names)} from read_parquet(?){limit} order by flight"
                found = connection.execute(query, [[str(chunk.path) for chunk in group]]).fetchnumpy()
                for name, column in found.items():
                    parts.setdefault(name, []).append(column)
    except duckdb.Error as error:
        raise CampaignError(
            f"{folder}: the files of flights cannot be read ({str(error).splitlines()[0]})"
        ) from error
    return FlownCampaign(
        design=manifest["design"],
        seed=manifest["seed"],
        rounding=manifest["rounding"],
        # Column by column: only one of them is there twice.
        results={name: np.concatenate(parts.pop(name)).astype(float, copy=False) for name in RESULTS},
        failed=failures(draws, lambda index: np.concatenate(parts[draw_column(index)])),
        drawn=_first_drawn(parts, len(draws)),
        draws=draws,
        units=tuple(draw["unit"] for draw in manifest["draws"]),
    )


def failures(
    draws: Sequence[Uncertain], column: Callable[[int], NDArray[np.float64]]
) -> dict[Uncertain, NDArray[np.bool_]]:
    """Say for each canopy's failure in which flights it happened."""
    return {draw: column(index) > 0.0 for index, draw in enumerate(draws) if draw.kind in FAILS}


def _groups(files: Sequence[Chunk]) -> Iterator[tuple[int, list[Chunk]]]:
    """Files that are read together, with how many flights came before them."""
    before, count, group = 0, 0, list[Chunk]()
    for chunk in files:
        if group and count + chunk.end - chunk.first > _AT_ONCE:
            yield before, group
            before, count, group = before + count, 0, []
        group.append(chunk)
        count += chunk.end - chunk.first
    yield before, group


def _wanted(draws: Sequence[Uncertain], *, every: bool) -> list[str]:
    """Columns to read: of drawn numbers every one, or only what fails."""
    told = [draw_column(index) for index, draw in enumerate(draws) if every or draw.kind in FAILS]
    return [*RESULTS, *told]


def _first_drawn(parts: dict[str, list[NDArray[Any]]], draws: int) -> NDArray[np.float64]:
    if not draws:
        return np.empty((0, 0))
    columns = [np.concatenate(parts[draw_column(index)])[:MOST_DRAWN] for index in range(draws)]
    least = min(map(len, columns))
    return np.column_stack([column[:least] for column in columns])
