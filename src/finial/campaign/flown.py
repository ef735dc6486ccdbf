"""What a campaign's folder holds, read back with DuckDB: piece by piece, or a column and then let go.

All results of all flights at once are some 250 bytes a flight.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
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
LANDINGS: Final = ("landing_east_m", "landing_north_m")


@dataclass(frozen=True, slots=True, kw_only=True)
class SomeFlights:
    """Some flights one after the other, with the results that were asked for."""

    results: Mapping[str, NDArray[np.float64]]
    failed: Mapping[Uncertain, NDArray[np.bool_]]
    """For each canopy's failure, in which of them it happened; empty where that was not asked for."""

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
        return np.column_stack([self.results[name][which] for name in LANDINGS])


def some_flights(rows: NDArray[np.float64]) -> SomeFlights:
    """Return flights by their rows of results, (n, 21), with all of them."""
    return SomeFlights(results={name: rows[:, at] for at, name in enumerate(RESULTS)}, failed={})


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownCampaign:
    """All flights of a campaign, in order of their numbers.

    Whole columns are made whenever they are asked for; :meth:`pieces` gives all flights in memory that
    does not grow with their number.
    """

    design: str
    seed: int
    rounding: str
    """What flew them and rounded their last bits: processors, or cards of which model."""
    results: Mapping[str, NDArray[np.float64]]
    """By the names of ``RESULTS``, each (n,); of a folder each is read when it is asked for, and not kept."""
    drawn: NDArray[np.float64]
    """Of the first flights, (k, d)."""
    failed: Mapping[Uncertain, NDArray[np.bool_]]
    """For each canopy's failure, in which flights it happened, (n,); of a folder as the results are."""
    draws: tuple[Uncertain, ...]
    units: tuple[str, ...]
    count: int = field(init=False)
    """Number of flights."""

    def __post_init__(self) -> None:
        """Count the flights once."""
        results = self.results
        count = results.count if isinstance(results, ResultColumns) else len(results["ended"])
        object.__setattr__(self, "count", count)

    @property
    def landed(self) -> NDArray[np.bool_]:
        """As of a piece, of all flights."""
        return self._whole.landed

    @property
    def lost(self) -> NDArray[np.bool_]:
        """As of a piece, of all flights."""
        return self._whole.lost

    def landings_m(self, *, sound: bool = False) -> NDArray[np.float64]:
        """As of a piece, of all flights."""
        return self._whole.landings_m(sound=sound)

    @property
    def _whole(self) -> SomeFlights:
        return SomeFlights(results=self.results, failed=self.failed)

    def pieces(
        self, names: Sequence[str], *, most: int = _AT_ONCE, failed: bool = False
    ) -> Iterator[SomeFlights]:
        """Give all flights piece by piece, with some results and if asked for with what failed.

        Raises
        ------
        CampaignError
            If a file cannot be read.
        """
        results = self.results
        if isinstance(results, ResultColumns):
            wholes = results.pieces(names, tuple(self.failed) if failed else (), self.draws)
        else:
            chosen = {name: results[name] for name in names}
            wholes = iter([SomeFlights(results=chosen, failed=self.failed if failed else {})])
        for whole in wholes:
            yield from _cut(whole, most)

    def first(self, most: int) -> "FlownCampaign":
        """Return the campaign of the first so many flights."""
        if self.count <= most:
            return self
        results, failed = self.results, self.failed
        if isinstance(results, ResultColumns):
            few = results.first(most)
            return replace(self, results=few, failed=FailureColumns(few, self.draws), drawn=self.drawn[:most])
        return replace(
            self,
            results={name: column[:most] for name, column in results.items()},
            failed={draw: which[:most] for draw, which in failed.items()},
            drawn=self.drawn[:most],
        )


def _cut(whole: SomeFlights, most: int) -> Iterator[SomeFlights]:
    for low in range(0, len(whole.results["ended"]), most):
        here = slice(low, low + most)
        yield SomeFlights(
            results={name: column[here] for name, column in whole.results.items()},
            failed={draw: which[here] for draw, which in whole.failed.items()},
        )


class ResultColumns(Mapping[str, NDArray[np.float64]]):
    """Results of a folder's flights by their names, each read anew whenever it is asked for."""

    def __init__(self, folder: Path, files: Sequence[Chunk], flights: int | None) -> None:
        self._folder, self._files = folder, files
        self._limit = "" if flights is None else f" where flight < {int(flights)}"
        self.count = sum(max(min(one.end, flights or one.end) - one.first, 0) for one in files)

    def first(self, most: int) -> "ResultColumns":
        """Return the columns of the first so many flights."""
        files = [one for one in self._files if one.first < most]
        return ResultColumns(self._folder, files, most)

    def __getitem__(self, name: str) -> NDArray[np.float64]:
        if name not in RESULTS:
            raise KeyError(name)
        return self.column(name, np.float64)

    def column(self, name: str, kind: type[Any]) -> NDArray[Any]:
        """Read one column of all flights; numbers above zero are true."""
        whole, at = np.empty(self.count, dtype=kind), 0
        for _, found in self.groups(lambda _before: [name]):
            piece = found[name]
            whole[at : at + len(piece)] = piece > 0.0 if kind is np.bool_ else piece
            at += len(piece)
        return whole

    def pieces(
        self, names: Sequence[str], failures: Sequence[Uncertain], draws: Sequence[Uncertain]
    ) -> Iterator[SomeFlights]:
        """Read results and failures of some files after the other."""
        columns = {one: draw_column(draws.index(one)) for one in failures}
        asked = [*names, *columns.values()]
        for _, found in self.groups(lambda _before: asked):
            yield SomeFlights(
                results={name: found[name] for name in names},
                failed={one: found[column] > 0.0 for one, column in columns.items()},
            )

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


class FailureColumns(Mapping[Uncertain, NDArray[np.bool_]]):
    """For each canopy's failure in which of a folder's flights it happened, read whenever it is asked for."""

    def __init__(self, results: ResultColumns, draws: Sequence[Uncertain]) -> None:
        self._results = results
        self._columns = {one: draw_column(at) for at, one in enumerate(draws) if one.kind in FAILS}

    def __getitem__(self, draw: Uncertain) -> NDArray[np.bool_]:
        return self._results.column(self._columns[draw], np.bool_)

    def __iter__(self) -> Iterator[Uncertain]:
        return iter(self._columns)

    def __len__(self) -> int:
        return len(self._columns)


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
    results = ResultColumns(folder, files, flights)
    return FlownCampaign(
        design=manifest["design"],
        seed=manifest["seed"],
        rounding=manifest["rounding"],
        results=results,
        failed=FailureColumns(results, draws),
        drawn=_first_drawn(results.first(MOST_DRAWN), len(draws)),
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


def _first_drawn(results: ResultColumns, count: int) -> NDArray[np.float64]:
    names = [draw_column(index) for index in range(count)]
    if not names:
        return np.empty((0, 0))
    parts = [np.column_stack([found[name] for name in names]) for _, found in results.groups(lambda _: names)]
    return np.concatenate(parts)[:MOST_DRAWN]
