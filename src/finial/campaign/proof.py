"""Whether files of flights belong to a campaign, told by flying some of them again."""

import numpy as np

from finial.campaign.campaign import PROCESSORS, Campaign, fly_range
from finial.campaign.chunks import Chunk, is_whole
from finial.campaign.extra import needed


def belong_to(campaign: Campaign, found: list[Chunk]) -> bool:
    """Fly the first and the last flight of every whole file again: they must be the same to the last bit.

    Cards round otherwise, so that what they flew cannot be told here. Files that are not whole are no
    witness for anything.
    """
    if campaign.rounding != PROCESSORS:
        return False
    return all(_flown_by(campaign, chunk) for chunk in found if is_whole(chunk))


def _flown_by(campaign: Campaign, chunk: Chunk) -> bool:
    table = needed("pyarrow.parquet").read_table(chunk.path)
    rows = np.column_stack([column.to_numpy() for column in table.columns])
    return chunk.end <= campaign.flights and all(
        np.array_equal(rows[row], _flown_again(campaign, number), equal_nan=True)
        for row, number in ((0, chunk.first), (-1, chunk.end - 1))
    )


def _flown_again(campaign: Campaign, number: int) -> np.ndarray:
    flown = fly_range(campaign, number, number + 1)
    return np.hstack([[number], flown.results[0], flown.drawn[0]])
