"""Lengths on a facade from its marked photos."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from finial.core.errors import Fault, MarksError, OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.files.photo_marks import PhotoEntry, PhotoMarks, StoreyMarkEntry
from finial.files.source import TomlSource
from finial.shape.facade import (
    FacadeMarks,
    FacadeView,
    SeveralPhotos,
    bowed_px,
    by_several,
    facade_view,
    measured_length,
    storey_height,
)

_FILM_M = 36e-3
"""Width of the picture of a 35 mm camera [m]."""
BOW_CLICKS = 2.0
"""An edge that bows by more than this many errors of a mark is bent by the lens [-]; chosen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoSeen:
    """How one photo sees the facade."""

    name: str
    view: FacadeView
    bowed_px: float | None
    """Of the worst edge that is straight in truth; ``None`` where none is marked."""
    is_bent: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FacadeLength:
    """One length by every photo that shows it."""

    name: str
    by_photo: tuple[tuple[str, Estimate], ...]
    together: SeveralPhotos

    @property
    def agree(self) -> bool:
        """Whether the photos agree."""
        return self.together.agree


@dataclass(frozen=True, slots=True, kw_only=True)
class FacadeStorey:
    """One storey by every photo that shows it."""

    name: str
    outline: str
    foot: SeveralPhotos
    top: SeveralPhotos
    height: SeveralPhotos
    photos: int

    @property
    def agree(self) -> bool:
        """Whether the photos agree on all three."""
        return self.foot.agree and self.top.agree and self.height.agree


@dataclass(frozen=True, slots=True, kw_only=True)
class FacadeRead:
    """What the photos show."""

    photos: tuple[PhotoSeen, ...]
    lengths: tuple[FacadeLength, ...]
    storeys: tuple[FacadeStorey, ...] = ()
    """From the ground up."""


def facade_lengths(told: PhotoMarks, source: TomlSource) -> FacadeRead:
    """Read every wanted length off every photo.

    Raises
    ------
    MarksError
        With every photo that cannot be used, and why.
    OutsideRange
        Of one photo alone: it comes out as the fault of that photo.
    """
    faults: list[Fault] = []
    photos: list[PhotoSeen] = []
    lengths: dict[str, list[tuple[str, Estimate]]] = {}
    storeys: dict[str, list[_StoreyEdges]] = {}
    for number, photo in enumerate(told.photo):
        try:
            marks = _marks(photo)
            photos.append(_seen(photo, marks))
            for one in photo.wanted:
                length = measured_length(marks, np.array(one.ends, dtype=np.float64), one.proud.value)
                lengths.setdefault(one.name, []).append((photo.name, length))
            for one in photo.storeys:
                storeys.setdefault(one.name, []).append(_edges(one, marks))
        except OutsideRange as error:
            accepted = "corners of one rectangle in a whole photo, and marks in its plane"
            given = f"{photo.name}: {error}"
            faults.append(source.fault(("photo", number), given=given, accepted=accepted))
    faults += _unfit(told, source)
    if faults:
        raise MarksError(faults)
    return FacadeRead(
        photos=tuple(photos),
        lengths=tuple(
            FacadeLength(name=name, by_photo=tuple(seen), together=by_several([length for _, length in seen]))
            for name, seen in lengths.items()
        ),
        storeys=tuple(_storey(name, seen) for name, seen in storeys.items()),
    )


def _unfit(told: PhotoMarks, source: TomlSource) -> Iterator[Fault]:
    """Tell photos with nothing to read off, and storeys that are told twice over."""
    outlines: dict[str, str] = {}
    for number, photo in enumerate(told.photo):
        if not photo.wanted and not photo.storeys:
            accepted = "lengths under wanted, or storeys"
            yield source.fault(("photo", number), given="nothing to read off", accepted=accepted)
        for level, one in enumerate(photo.storeys):
            known = outlines.setdefault(one.name, one.outline)
            if known != one.outline:
                where = ("photo", number, "storeys", level, "outline")
                given, accepted = f"{one.name}: {one.outline}", f"{known}, as in the photo before"
                yield source.fault(where, given=given, accepted=accepted)


@dataclass(frozen=True, slots=True, kw_only=True)
class _StoreyEdges:
    """One storey by one photo."""

    outline: str
    foot: Estimate
    top: Estimate
    height: Estimate


def _edges(one: StoreyMarkEntry, marks: FacadeMarks) -> _StoreyEdges:
    corners = np.array(one.corners, dtype=np.float64)
    foot, right, top, left = (
        measured_length(marks, corners[[start, (start + 1) % 4]], one.proud.value) for start in range(4)
    )
    height = storey_height(foot, top, (left, right))
    return _StoreyEdges(outline=one.outline, foot=foot, top=top, height=height)


def _storey(name: str, seen: Sequence[_StoreyEdges]) -> FacadeStorey:
    return FacadeStorey(
        name=name,
        outline=seen[0].outline,
        foot=by_several([one.foot for one in seen]),
        top=by_several([one.top for one in seen]),
        height=by_several([one.height for one in seen]),
        photos=len(seen),
    )


def _marks(photo: PhotoEntry) -> FacadeMarks:
    wide, high = photo.size
    known = photo.known.length.estimate(KnownBy.MEASURED)
    return FacadeMarks(
        size_px=(float(wide), float(high)),
        corners_px=np.array(photo.corners, dtype=np.float64),
        known_px=np.array(photo.known.ends, dtype=np.float64),
        known_m=replace(known, method="known length on the facade"),
        click_px=float(photo.click),
        focal_px=None if photo.focal_35mm is None else photo.focal_35mm.value / _FILM_M * max(wide, high),
    )


def _seen(photo: PhotoEntry, marks: FacadeMarks) -> PhotoSeen:
    bows = [bowed_px(np.array(edge, dtype=np.float64).reshape(-1, 2)) for edge in photo.straight]
    worst = max(bows, default=None)
    return PhotoSeen(
        name=photo.name,
        view=facade_view(marks),
        bowed_px=worst,
        is_bent=worst is not None and worst > BOW_CLICKS * photo.click,
    )
