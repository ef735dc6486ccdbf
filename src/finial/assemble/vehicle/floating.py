"""Bodies of the meshes that hang in the air: nothing of the vehicle reaches to where they stand."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.assemble.vehicle.loading import PlacedPart
from finial.core.kept_parts import kept

REACH_M = 1e-3
"""Bodies nearer than this touch: meshes of two programs seldom meet to the hair [m]; chosen."""
_SPECK_M = 2e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class _Box:
    """Box round one body of a part, along the axes [m]."""

    part: str
    low: NDArray[np.float64]
    high: NDArray[np.float64]


# Every answer asks, and meshes stay.
@kept(8)
def floating_parts(parts: tuple[PlacedPart, ...]) -> tuple[str, ...]:
    """Name the parts with a body that stands apart from all others, by the boxes round them.

    Boxes that overlap may still not touch: what is named here surely hangs in the air.
    """
    boxes = [box for part in parts for box in _boxes(part)]
    groups = _groups(boxes)
    if len(groups) < 2:
        return ()
    largest = max(groups, key=lambda group: sum(_size(boxes[one]) for one in group))
    apart = sorted(set(range(len(boxes))) - set(largest))
    return tuple(dict.fromkeys(boxes[one].part for one in apart))


def _boxes(part: PlacedPart) -> Iterator[_Box]:
    """Boxes round the outward bodies of a part; cavities lie in theirs, and specks are no bodies."""
    corners = part.mended.mesh.vertices_m[part.mended.mesh.faces]
    for number, host in enumerate(part.mended.hosts):
        own = corners[part.mended.body_of_face == number]
        if host >= 0 or not len(own):
            continue
        low, high = own.min(axis=(0, 1)), own.max(axis=(0, 1))
        if float(np.linalg.norm(high - low)) > _SPECK_M:
            yield _Box(part=part.spec.name, low=low, high=high)


def _size(box: _Box) -> float:
    return float(np.prod(box.high - box.low))


def _groups(boxes: list[_Box]) -> list[list[int]]:
    """Numbers of the boxes that hang together, over others too."""
    left = list(range(len(boxes)))
    groups: list[list[int]] = []
    while left:
        group = [left.pop(0)]
        for one in group:
            near = [other for other in left if _meet(boxes[one], boxes[other])]
            left = [other for other in left if other not in near]
            group += near
        groups.append(group)
    return groups


def _meet(one: _Box, other: _Box) -> bool:
    apart = np.maximum(one.low - other.high, other.low - one.high)
    return bool((apart <= REACH_M).all())
