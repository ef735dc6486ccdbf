"""Grids that lie in one another: finest round the shape, each next one twice as coarse."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.tunnel.links import GridBox
from finial.tunnel.records import Fineness, Stream, TunnelShape

_NEAR = 0.5
"""Room of the finest grid beside the shape, in widths."""
_NEAR_CELLS = 8.0
"""And in its cells, at least: nearer to a blunt front wider cells read its pressure wrong."""
_WIDER = 0.9
"""Room that each coarser grid adds."""
_WAKE = 1.0
"""More of the same behind the shape, downstream."""
_AHEAD = 1.2
"""Room ahead of the shape over that at its sides."""
_BEHIND = 2.0
"""Room behind the shape over that at its sides."""
_ROW = 16
"""Rows are filled up to so many cells: processors work on as many at once, cards on twice that."""

Hidden = tuple[int, int, int, int, int, int]
NONE_HIDDEN: Hidden = (0, 0, 0, 0, 0, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Nested:
    """Boxes from the widest to the finest, and where each lies in the one round it."""

    boxes: tuple[GridBox, ...]
    corners: tuple[tuple[int, int, int], ...]
    """First cell of the wider box that each lies over; for the widest (0, 0, 0)."""

    @property
    def cells(self) -> int:
        """Cells of all grids."""
        return sum(box.cells for box in self.boxes)

    @property
    def updates_a_step(self) -> int:
        """Cell updates of one step of the widest grid; what a finer grid covers is left out."""
        return sum((box.cells - _held(self.hidden(level))) << level for level, box in enumerate(self.boxes))

    def hidden(self, level: int, layers: int = 1) -> Hidden:
        """Cells of a grid that need no step: the next finer one covers them, and so many layers round them.

        Parameters
        ----------
        level : int
            Which grid, 0 the widest.
        layers : int
            Cells of this grid that the finer one tells its means, and nobody steps but the outermost.

        Returns
        -------
        hidden : tuple of int
            First cell along the first axis and the one past the last, then along the others; of the finest
            grid none.

        Notes
        -----
        A cell that is stepped asks those beside it alone: with one layer, the outermost cells inside the
        finer grid's rim are stepped, and those next to them are told. Cells that tell a wider grid their
        means are stepped all.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> box = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(16, 16, 16))
        >>> Nested(boxes=(box, box), corners=((0, 0, 0), (4, 4, 4))).hidden(0)
        (5, 11, 5, 11, 5, 11)
        """
        if level == len(self.boxes) - 1:
            return NONE_HIDDEN
        finer = zip(
            self.boxes[level].counts, self.corners[level + 1], self.boxes[level + 1].counts, strict=True
        )
        telling = 2 + 2 * layers
        ends = [
            (max(first + layers, telling), min(first + fine // 2 - layers, wide - telling))
            for wide, first, fine in finer
        ]
        if any(low >= high for low, high in ends):
            return NONE_HIDDEN
        (a, b), (c, d), (e, f) = ends
        return a, b, c, d, e, f


def _held(hidden: Hidden) -> int:
    a, b, c, d, e, f = hidden
    return (b - a) * (d - c) * (f - e)


def nested_boxes(shape: TunnelShape, stream: Stream, fineness: Fineness, width_m: float) -> Nested:
    """Lay grids round a shape.

    Parameters
    ----------
    shape : TunnelShape
    stream : Stream
        Towards which side the wake goes.
    fineness : Fineness
    width_m : float
        Width of the shape [m].

    Returns
    -------
    nested : Nested
        The widest first; of one grid alone, the tunnel itself.

    Notes
    -----
    Rooms round the shape are a judgement: half a width of the finest cells and at least eight of them, a
    width more of each coarser, more downstream, and the asked side room to the walls, doubled behind. With
    four cells of room a cube of 8 cells has a drag 20 % above that on a single grid, with eight 5 %; of 10
    cells 7 % with five, of 16 with eight 1 %, of 24 with twelve 1 %.

    References
    ----------
    .. [1] Judgement from trials, no source.

    Examples
    --------
    >>> ends = np.array([[0.0, -0.1, -0.1], [0.2, 0.1, 0.1]])
    >>> ball = TunnelShape(points_m=ends, triangles=np.zeros((0, 3), int))
    >>> nested = nested_boxes(ball, Stream(angle_rad=0.0), Fineness(cells=8.0), width_m=0.2)
    >>> [box.counts[0] for box in nested.boxes], round(nested.boxes[-1].cell_m, 4)
    ([32, 32, 32], 0.025)
    """
    low, high = shape.points_m.min(axis=0) / width_m, shape.points_m.max(axis=0) / width_m
    spans = [_reach(low, high, stream, fineness, level) for level in range(fineness.grids)]
    between = np.array([low[0], *(0.5 * (low + high))[1:]])
    return _on_one_raster(spans, between, fineness, width_m)


def _reach(
    low: NDArray[np.float64], high: NDArray[np.float64], stream: Stream, fineness: Fineness, level: int
) -> NDArray[np.float64]:
    """Least and largest corner of a box in widths, level 0 the widest; shape (2, 3)."""
    towards = np.array(stream.towards)
    downstream, upstream = np.clip(towards, 0.0, None), np.clip(-towards, 0.0, None)
    if level == 0:
        room = fineness.side_widths
        after, before = (
            room * (1.0 + (_BEHIND - 1.0) * downstream),
            room * (1.0 + (_AHEAD - 1.0) * downstream),
        )
        mirrored = room * (_BEHIND - 1.0) * upstream, room * (_AHEAD - 1.0) * upstream
        return np.array([low - before - mirrored[0], high + after + mirrored[1]])
    finer = fineness.grids - 1 - level
    room = max(_NEAR, _NEAR_CELLS / fineness.cells) + _WIDER * finer
    wake = _WAKE * (1.0 + 1.5 * finer)
    return np.array([low - room - wake * upstream, high + room + wake * downstream])


def _on_one_raster(
    spans: list[NDArray[np.float64]], between: NDArray[np.float64], fineness: Fineness, width_m: float
) -> Nested:
    """Round every box out to whole cells of the one round it, rows to a number that machines like.

    A corner of cells of every grid lies on the tip's station and on the shape's middle across, so that a flat
    front lies between cells and what is alike on both sides is cut alike.
    """
    widest = 2.0 ** (fineness.grids - 1) / fineness.cells
    origin = between - np.ceil((between - spans[0][0]) / widest - 1e-9) * widest
    boxes: list[GridBox] = []
    corners: list[tuple[int, int, int]] = []
    first = np.zeros(3, dtype=np.int64)
    corner_at = origin
    for level, span in enumerate(spans):
        cell = 2.0 ** (fineness.grids - 1 - level) / fineness.cells
        if level:
            wide = 2.0 * cell
            first = np.maximum(np.floor((span[0] - corner_at) / wide + 1e-9).astype(np.int64), 2)
            corner_at = corner_at + first * wide
        counts = np.maximum(np.ceil((span[1] - corner_at) / cell - 1e-9).astype(np.int64), 8)
        counts += counts % 2
        counts[0] += -counts[0] % _ROW
        if level:
            inside = 2 * (np.array(boxes[-1].counts) - first - 2)
            counts = np.minimum(counts, inside)
        centre = (corner_at + cell / 2.0) * width_m
        boxes.append(
            GridBox(
                origin_m=(float(centre[0]), float(centre[1]), float(centre[2])),
                cell_m=cell * width_m,
                counts=(int(counts[0]), int(counts[1]), int(counts[2])),
            )
        )
        corners.append((int(first[0]), int(first[1]), int(first[2])))
    return Nested(boxes=tuple(boxes), corners=tuple(corners))
