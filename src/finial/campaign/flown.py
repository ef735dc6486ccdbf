"""What a campaign's folder holds, read back with DuckDB: a column whenever it is asked for, and then let go.

All results of all flights at once are some 250 bytes a flight.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
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
_Parts = dict[int, list[NDArray[Any]]]
"""Pieces of columns, by the number of what was drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownCampaign:
    """All flights of a campaign, in order of their numbers."""

    design: str
    seed: int
    rounding: str
    """What flew them and rounded their last bits: processors, or cards of which model."""
    results: Mapping[str, NDArray[np.float64]]
    """By the names of ``RESULTS``, each (n,); of a folder each is read when it is asked for, and not kept."""
    drawn: NDArray[np.float64]
    """Of the first flights, (k, d)."""
    failed: dict[Uncertain, NDArray[np.bool_]]
    """For each canopy's failure, in which flights it happened, (n,)."""
    draws: tuple[Uncertain, ...]
    units: tuple[str, ...]
    landed: NDArray[np.bool_] = field(init=False)
    """Which flights came to the ground; the others stopped before, and are counted apart."""
    lost: NDArray[np.bool_] = field(init=False)
    """Which flights turned over, or opened or met the ground under thrust: later numbers say nothing."""

    def __post_init__(self) -> None:
        """Keep how each flight ended: every question asks for it."""
        object.__setattr__(self, "landed", self.results["ended"] == LANDED)
        object.__setattr__(self, "lost", self.results["loss"] > 0.0)

    @property
    def count(self) -> int:
        """Number of flights."""
        return len(self.landed)

    def landings_m(self, *, sound: bool = False) -> NDArray[np.float64]:
        """Landing points of the flights that landed, or of those not lost, (k, 2) east and north [m]."""
        which = self.landed & ~self.lost if sound else self.landed
        return np.column_stack([self.results[name][which] for name in ("landing_east_m", "landing_north_m")])


class ResultColumns(Mapping[str, NDArray[np.float64]]):
    """Results of a folder's flights by their names, each read anew whenever it is asked for."""

    def __init__(self, folder: Path, files: Sequence[Chunk], flights: int | None) -> None:
        self._folder, self._files = folder, files
        self._limit = "" if flights is None else f" where flight < {int(flights)}"
        self._count = sum(max(min(one.end, flights or one.end) - one.first, 0) for one in files)

    def __getitem__(self, name: str) -> NDArray[np.float64]:
        if name not in RESULTS:
            raise KeyError(name)
        whole, at = np.empty(self._count), 0
        for _, found in self.groups(lambda _before: [name]):
            piece = found[name]
            whole[at : at + len(piece)] = piece
            at += len(piece)
        return whole

    def __iter__(self) -> Iterator[str]:
        return iter(RESULTS)

    def __len__(self) -> int:
        return len(RESULTS)

    def groups(self, names: Callable[[int], Sequence[str]]) -> Iterator[tuple[int, dict[str, NDArray[Any]]]]:
        """Read columns of some files after the other, with how many flights came before.

        Raises
        ------
        CampaignError
            If a file cannot be read.
        """
        duckdb = needed("duckdb")
        try:
            with duckdb.connect() as connection:
                for before, group in _groups(self._files):
                    query = (
                        f"select {', '.join(names(before))} from read_parquet(?){self._limit} order by flight"
                    )
                    paths = [[str(chunk.path) for chunk in group]]
                    yield before, connection.execute(query, paths).fetchnumpy()
        except duckdb.Error as error:
            raise CampaignError(
                f"{self._folder}: the files of flights cannot be read ({str(error).splitlines()[0]})"
            ) from error


def read_flown(folder: Path, flights: int | None = None) -> FlownCampaign:
    """Read a campaign's flights, or the first so many of them.

    Raises
    ------
    CampaignError
        If there are none, or a file is damaged.
    """
    manifest = read_manifest(folder)
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
    results, drawn, fails = ResultColumns(folder, files, flights), _Parts(), _Parts()
    for before, found in results.groups(lambda before: _drawn_wanted(draws, every=before < MOST_DRAWN)):
        for index, draw in enumerate(draws):
            if before < MOST_DRAWN:
                drawn.setdefault(index, []).append(found[draw_column(index)])
            if draw.kind in FAILS:
                fails.setdefault(index, []).append(found[draw_column(index)] > 0.0)
    return FlownCampaign(
        design=manifest["design"],
        seed=manifest["seed"],
        rounding=manifest["rounding"],
        results=results,
        failed=failures(draws, lambda index: np.concatenate(fails[index])),
        drawn=_first_drawn(drawn),
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


def _drawn_wanted(draws: Sequence[Uncertain], *, every: bool) -> list[str]:
    """Columns of drawn numbers to read: every one, or only what fails."""
    told = [draw_column(index) for index, draw in enumerate(draws) if every or draw.kind in FAILS]
    return told or ["flight"]


def _first_drawn(parts: _Parts) -> NDArray[np.float64]:
    if not parts:
        return np.empty((0, 0))
    return np.column_stack([np.concatenate(column)[:MOST_DRAWN] for column in parts.values()])
