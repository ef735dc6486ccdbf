"""Where runs can be blown on this machine: how much memory there is, and how fast it is."""

import os
import time
from collections.abc import Callable, Iterable, Sequence
from itertools import product

import numpy as np

from finial.core import cards as known_cards
from finial.core.errors import CampaignError, MissingData
from finial.tunnel.records import Fineness, Stream, TunnelShape
from finial.tunnel_study.plan import PlannedRun, cost_of
from finial.tunnel_study.run import PROCESSOR, Blow

_CUBE_M = 0.1
_TRIAL = Fineness(cells=8.0, grids=1, side_widths=2.0, settle_widths=0.5, travel_widths=2.0)
_TRIAL_ON_CARD = Fineness(cells=24.0, grids=1, side_widths=2.0, settle_widths=0.5, travel_widths=2.0)
"""A card is full only from some millions of cells on."""


def cards_to_use(asked: Sequence[int], *, every: bool, tell: Callable[[str], None]) -> tuple[int | None, ...]:
    """Cards that were asked for, or the processor, and why, where there are none.

    Raises
    ------
    CampaignError
        If there are cards, but none of that number.
    """
    if not asked and not every:
        return PROCESSOR
    try:
        count = known_cards.card_count()
    except MissingData as error:
        tell(f"{error}: blowing on the processor instead")
        return PROCESSOR
    wrong = [card for card in asked if card >= count]
    if wrong:
        raise CampaignError(f"card {wrong[0]}: there are {count}, counted from 0")
    return tuple(asked) or tuple(range(count))


def refuse_too_large(runs: Iterable[PlannedRun], cards: Sequence[int | None]) -> None:
    """Refuse runs that no memory holds, before any starts.

    Raises
    ------
    CampaignError
        With what is needed, what there is, and how fine a grid fits.
    """
    runs = tuple(runs)
    needed = cost_of(runs).memory_bytes
    for card in cards:
        free = free_memory(card)
        if free is not None and needed > free:
            finest = max(run.fineness.cells for run in runs)
            fits = finest * (free / needed) ** (1.0 / 3.0)
            where = "this machine has" if card is None else f"card {card} has"
            raise CampaignError(
                f"the largest run needs {needed / 1e9:.1f} GB and {where} {free / 1e9:.1f} GB free: about "
                f"{fits:.2g} cells to a width fit, instead of {finest:.3g}"
            )


def free_memory(card: int | None) -> float | None:
    """Memory that is free [bytes]; ``None`` where the system does not tell."""
    if card is not None:
        return float(known_cards.free_bytes(card))
    names = ("SC_AVPHYS_PAGES", "SC_PAGE_SIZE")
    if not hasattr(os, "sysconf") or any(name not in os.sysconf_names for name in names):
        return None
    return max(float(os.sysconf(names[0])) * os.sysconf(names[1]), _available())


def _available() -> float:
    """Ask the system what it could free at once [bytes]; nothing where it does not say."""
    try:
        with open("/proc/meminfo", encoding="ascii") as told:
            lines = dict(line.split(":", 1) for line in told if ":" in line)
        return 1024.0 * float(lines["MemAvailable"].split()[0])
    except (OSError, KeyError, ValueError, IndexError):
        return 0.0


def measured_speed(blow: Blow, card: int | None) -> float:
    """Blow at a cube for a moment and count cell updates a second; kernels are compiled before.

    Raises
    ------
    OutsideRange
        If the run diverges.
    """
    fineness = _TRIAL if card is None else _TRIAL_ON_CARD
    shape, width = cube(_CUBE_M), 2.0 * _CUBE_M / np.sqrt(np.pi)
    updates, seconds = 0.0, 1.0
    for _ in range(2):
        start = time.monotonic()
        blown = blow(
            shape, Stream(angle_rad=0.0), fineness, area_m2=_CUBE_M**2, width_m=width, card=card, watch=None
        )
        updates, seconds = blown.updates, max(time.monotonic() - start, 1e-6)
    return updates / seconds


def cube(side_m: float) -> TunnelShape:
    """Make a cube, one face to the wind."""
    corners = np.array(list(product((0.0, 1.0), (-0.5, 0.5), (-0.5, 0.5)))) * side_m
    sides = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    triangles = [three for a, b, c, d in sides for three in ((a, b, c), (a, c, d))]
    return TunnelShape(points_m=corners, triangles=np.array(triangles, dtype=np.int64))
