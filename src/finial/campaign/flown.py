"""What a campaign's folder holds, read back with DuckDB."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finial.campaign.chunks import chunks, draw_column, is_whole
from finial.campaign.extra import needed
from finial.campaign.store import read_manifest, uncertain_number
from finial.core.errors import CampaignError
from finial.flight.kernel.layout import LANDED
from finial.flight.many import RESULTS
from finial.flight.uncertain import Uncertain


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
    """(n, d)."""
    draws: tuple[Uncertain, ...]
    units: tuple[str, ...]

    @property
    def count(self) -> int:
        """Number of flights."""
        return len(self.drawn)

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
    draws = manifest["draws"]
    names = ["flight", *RESULTS, *(draw_column(index) for index in range(len(draws)))]
    limit = "" if flights is None else f" where flight < {int(flights)}"
    files = chunks(folder)
    if not files:
        raise CampaignError(f"{folder} holds no flights yet: run the campaign first")
    damaged = [chunk.path.name for chunk in files if not is_whole(chunk)]
    if damaged:
        raise CampaignError(
            f"{folder}: {', '.join(damaged)} not as written (checksum). Run the campaign again: "
            "damaged files are set aside, and only their flights are flown anew"
        )
    query = f"select {', '.join(names)} from read_parquet(?){limit} order by flight"
    try:
        with duckdb.connect() as connection:
            columns = connection.execute(query, [[str(chunk.path) for chunk in files]]).fetchnumpy()
    except duckdb.Error as error:
        raise CampaignError(
            f"{folder}: the files of flights cannot be read ({str(error).splitlines()[0]})"
        ) from error
    return FlownCampaign(
        design=manifest["design"],
        seed=manifest["seed"],
        rounding=manifest["rounding"],
        results={name: np.ascontiguousarray(columns[name], dtype=float) for name in RESULTS},
        drawn=np.column_stack([columns[name] for name in names[1 + len(RESULTS) :]])
        if draws
        else np.empty((len(columns["flight"]), 0)),
        draws=tuple(uncertain_number(draw) for draw in draws),
        units=tuple(draw["unit"] for draw in draws),
    )
