"""The pieces of a print drawn apart along the body, each with its number and name."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.assemble.prints.results import PlannedPiece, PrintPlan
from finial.core.dimensions import Dimension
from finial.report.pictures.svg import FONT_MM, GREY, INK, clipped, element, line, number, picture, words
from finial.report.shown import Shown
from finial.report.words import counted
from finial.shape.mesh import Mesh, area_vectors
from finial.shape.united import Body, mesh_of, solid_of_mesh

_TALL_MM, _WIDE_MM = 235.0, 150.0
_EDGE_MM = 8.0
_ELEVATION_RAD, _AZIMUTH_RAD = math.radians(22.0), math.radians(32.0)
_GAP = 0.05
"""Gap between pieces over the length of the vehicle [-]."""
_APART = 0.3
"""How far pieces that are cut along move outward, over their own width [-]."""
_COARSE_M = 0.4e-3
"""Detail finer than this is not drawn [m]."""
_OFF_M, _FAR_M = 20e-6, 10.0
"""From where on, and how far, something may stand in the line of sight [m]."""
_SHARP_RAD = math.radians(35.0)
_LABEL_MM = 2 * FONT_MM + 1.2
_LETTERS = 34


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Seen:
    """A piece as the picture shows it: triangles on paper, farthest first, and how each is lit."""

    piece: PlannedPiece
    corners: NDArray[np.float64]
    """(n, 3, 2), in metres before scaling."""
    light: NDArray[np.float64]
    sharp: NDArray[np.bool_]
    """Which edges of each triangle are drawn, (n, 3)."""
    depth: float


def exploded(plan: PrintPlan) -> str:
    """Draw every piece in its place, moved apart, tip up, with its number and name."""
    seen = [_seen(piece, shift) for piece, shift in zip(plan.pieces, _shifts(plan.pieces), strict=True)]
    every = np.concatenate([one.corners.reshape(-1, 2) for one in seen])
    low, high = every.min(axis=0), every.max(axis=0)
    scale = min((_TALL_MM - 2 * _EDGE_MM) / (high[1] - low[1]), (_WIDE_MM * 0.55) / (high[0] - low[0]))
    body = list(_drawn(seen, low, high, scale))
    shown = Shown(us_units=plan.us_units)
    body += _labels(seen, (low, high, scale), shown)
    says = f"{counted(len(plan.pieces), 'piece')} of {plan.name}, drawn apart along the body, tip up."
    return picture("exploded", (_WIDE_MM, _TALL_MM), *body, title=f"Pieces of {plan.name}", says=says)


def _shifts(pieces: Sequence[PlannedPiece]) -> Iterator[NDArray[np.float64]]:
    """Move pieces apart: by a gap for each slice ahead along the axis, and halves outward."""
    length = max(piece.span_m[1] for piece in pieces) - min(piece.span_m[0] for piece in pieces)
    slices = sorted({(piece.span_m, piece.part) for piece in pieces})
    for piece in pieces:
        rank = slices.index((piece.span_m, piece.part))
        middle = piece.mesh.vertices_m[:, 1:].mean(axis=0)
        wide = float(np.ptp(piece.mesh.vertices_m[:, 1:], axis=0).max())
        beside = sum(one.part == piece.part and one.span_m == piece.span_m for one in pieces) > 1
        reach = float(np.linalg.norm(middle))
        out = middle / reach * _APART * wide if beside and reach > 1e-6 else np.zeros(2)
        yield np.array([-rank * _GAP * length, out[0], out[1]])


def _view() -> NDArray[np.float64]:
    """Rows: right, up and towards the eye, in body axes."""
    ahead = np.array(
        [
            math.sin(_ELEVATION_RAD),
            math.cos(_ELEVATION_RAD) * math.cos(_AZIMUTH_RAD),
            math.cos(_ELEVATION_RAD) * math.sin(_AZIMUTH_RAD),
        ]
    )
    right = np.array([0.0, -math.sin(_AZIMUTH_RAD), math.cos(_AZIMUTH_RAD)])
    return np.stack([right, np.cross(ahead, right), ahead])


def _seen(piece: PlannedPiece, shift: NDArray[np.float64]) -> _Seen:
    solid = solid_of_mesh(piece.mesh).simplify(_COARSE_M)
    mesh, view = mesh_of(solid), _view()
    points = (mesh.vertices_m + shift) @ view.T
    normals = area_vectors(mesh.triangles_m)
    normals = normals / np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-30)
    facing = normals @ view[2] > 1e-6
    sharp = _sharp_edges(mesh, normals, facing)
    facing &= _in_sight(solid, mesh.triangles_m.mean(axis=1), facing)
    corners = points[mesh.faces]
    order = np.argsort(corners[facing][:, :, 2].mean(axis=1))
    light = 0.5 + 0.5 * (normals @ _unit(view[2] + 0.8 * view[1] - 0.5 * view[0]))
    return _Seen(
        piece=piece,
        corners=corners[facing][order][:, :, :2],
        light=light[facing][order],
        sharp=sharp[facing][order],
        depth=float(points[:, 2].mean()),
    )


def _in_sight(solid: Body, middles: NDArray[np.float64], asked: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Tell which faces nothing of the piece hides from the eye, by the middle of each."""
    towards = _view()[2]
    seen = np.zeros(len(middles), dtype=bool)
    for at in np.flatnonzero(asked).tolist():
        start, end = middles[at] + _OFF_M * towards, middles[at] + _FAR_M * towards
        seen[at] = not solid.ray_cast(tuple(start.tolist()), tuple(end.tolist()))
    return seen


def _unit(vector: NDArray[np.float64]) -> NDArray[np.float64]:
    return vector / np.linalg.norm(vector)


def _sharp_edges(mesh: Mesh, normals: NDArray[np.float64], facing: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Edges that the eye sees as lines: where faces meet at an angle, and the outline."""
    faces = mesh.faces
    edges = np.stack([faces, np.roll(faces, -1, axis=1)], axis=2).reshape(-1, 2)
    key = np.sort(edges, axis=1)
    order = np.lexsort((key[:, 1], key[:, 0]))
    first, second = order[0::2], order[1::2]
    owner = np.repeat(np.arange(len(faces)), 3)
    one, other = owner[first], owner[second]
    bent = (normals[one] * normals[other]).sum(axis=1) < math.cos(_SHARP_RAD)
    drawn = bent | (facing[one] != facing[other])
    sharp = np.zeros(len(edges), dtype=bool)
    sharp[first], sharp[second] = drawn, drawn
    return sharp.reshape(-1, 3)


def _drawn(
    seen: Sequence[_Seen], low: NDArray[np.float64], high: NDArray[np.float64], scale: float
) -> Iterator[str]:
    for one in sorted(seen, key=lambda each: each.depth):
        paper = np.empty_like(one.corners)
        paper[..., 0] = _EDGE_MM + (one.corners[..., 0] - low[0]) * scale
        paper[..., 1] = _EDGE_MM + (high[1] - one.corners[..., 1]) * scale
        yield element("g", *_faces(paper, one.light, one.sharp))


def _faces(paper: NDArray[np.float64], light: NDArray[np.float64], sharp: NDArray[np.bool_]) -> Iterator[str]:
    for corners, lit, edges in zip(paper.tolist(), light.tolist(), sharp.tolist(), strict=True):
        grey = 150 + round(100 * lit)
        path = "M" + "L".join(f"{number(x)} {number(y)}" for x, y in corners) + "Z"
        colour = f"#{grey:02x}{grey:02x}{min(grey + 4, 255):02x}"
        yield element("path", d=path, fill=colour, stroke=colour, stroke_width=0.12)
        for at in (n for n in range(3) if edges[n]):
            yield line(
                (corners[at][0], corners[at][1]),
                (corners[(at + 1) % 3][0], corners[(at + 1) % 3][1]),
                stroke=INK,
                stroke_width=0.15,
            )


def _labels(
    seen: Sequence[_Seen],
    frame: tuple[NDArray[np.float64], NDArray[np.float64], float],
    shown: Shown,
) -> Iterator[str]:
    """Write number, name and size of each piece to the right of it, none over another."""
    low, high, scale = frame
    right = _EDGE_MM + (high[0] - low[0]) * scale + 10.0
    ends = [_right_end(one) for one in seen]
    heights = [_EDGE_MM + (high[1] - end[1]) * scale for end in ends]
    for place in _spread(heights):
        one, end, at = seen[place[0]], ends[place[0]], place[1]
        start = _EDGE_MM + (end[0] - low[0]) * scale, heights[place[0]]
        yield line(start, (right - 2.0, at - 1.0), stroke=GREY, stroke_width=0.15)
        piece = one.piece
        of = "" if piece.within[1] == 1 else f", {piece.within[0]} of {piece.within[1]}"
        yield words(f"{piece.number}  {clipped(piece.part, _LETTERS)}{of}", (right, at), font_weight="bold")
        told = f"{shown.sides(piece.lying.size_m)}, {shown.plain(piece.effort.mass.value, Dimension.MASS)}"
        yield words(told, (right, at + FONT_MM + 0.6), fill=GREY)


def _right_end(one: _Seen) -> NDArray[np.float64]:
    points = one.corners.reshape(-1, 2)
    return points[int(points[:, 0].argmax())]


def _spread(heights: Sequence[float]) -> list[tuple[int, float]]:
    """Push labels apart that would overlap, from the top down, then back up where the page ends."""
    order = sorted(range(len(heights)), key=lambda index: heights[index])
    placed: list[float] = []
    for index in order:
        least = placed[-1] + _LABEL_MM if placed else _EDGE_MM
        placed.append(max(heights[index], least))
    last = _TALL_MM - _EDGE_MM
    for at in range(len(placed) - 1, -1, -1):
        placed[at] = min(placed[at], last)
        last = placed[at] - _LABEL_MM
    return list(zip(order, placed, strict=True))
