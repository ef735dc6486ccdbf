"""Photos marked on the page: what they tell with its errors, and a tower sent on from it."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from finial.assemble.start.photos import FacadeRead, facade_lengths
from finial.core.dimensions import Dimension
from finial.core.errors import OutsideRange
from finial.core.trees import is_list, is_table
from finial.core.units import parse_quantity
from finial.files.edit import Value
from finial.files.entries import value_at
from finial.files.photo_marks import photo_marks_from
from finial.files.sheet_rows import PHOTOS_FILE
from finial.files.source import TomlSource, toml_from
from finial.files.toml_places import KeyPath
from finial.files.tower import tower_from
from finial.files.write import write_atomically
from finial.report.photo_text import photo_section
from finial.report.photo_tower import tower_drawing
from finial.report.shown import Shown
from finial.web.drafts.draft import Draft
from finial.web.drafts.records import DraftWritten, PagePhoto, PhotoLine, PhotoMark, PhotosRead, Place
from finial.web.payload import plain

_BEGIN = """# Marks in photos of one facade, each whole and not straightened: pixels to the right and down.
"""
_INSET = 0.25
"""Marks begin so far from the edges, over the photo's size."""
_CORNERS = ("lower left corner", "lower right corner", "upper right corner", "upper left corner")


def photos_draft(path: Path) -> Draft:
    """Return a file of marks as a draft, there or not."""
    return Draft(
        path=path,
        kind="photos",
        file=PHOTOS_FILE,
        begin=_BEGIN,
        start=_start,
        told=_told,
        untold={"read": None},
        seen=_seen,
    )


def _told(source: TomlSource, us_units: bool) -> Mapping[str, Any]:
    found = _read(source)
    names = tuple(one.name for one in (*found.lengths, *found.storeys))
    section = photo_section(found, Shown(us_units=us_units))
    return {"read": plain(PhotosRead(names=names, storeys=len(found.storeys), section=section))}


def _read(source: TomlSource) -> FacadeRead:
    return facade_lengths(photo_marks_from(source), source)


def _seen(source: TomlSource) -> Mapping[str, Any]:
    photos = source.values.get("photo")
    told = photos if is_list(photos) else []
    return {"photos": [plain(_photo(one, number)) for number, one in enumerate(told, 1) if is_table(one)]}


def _photo(photo: Mapping[str, Any], number: int) -> PagePhoto:
    dotted = f"photo[{number}]"
    name = photo.get("name")
    return PagePhoto(
        dotted=dotted,
        name=name if isinstance(name, str) else f"photo {number}",
        size=_place(photo.get("size")),
        lines=tuple(_lines(photo, dotted)),
    )


def _lines(photo: Mapping[str, Any], dotted: str) -> Iterator[PhotoLine]:
    yield _line("corners", f"{dotted}.corners", "the rectangle", photo.get("corners"), _CORNERS)
    known = photo.get("known")
    if is_table(known):
        yield _line("known", f"{dotted}.known.ends", "the known length", known.get("ends"))
    for number, wanted in enumerate(_tables(photo.get("wanted")), 1):
        name = wanted.get("name")
        told = name if isinstance(name, str) else f"length {number}"
        yield _line("wanted", f"{dotted}.wanted[{number}].ends", told, wanted.get("ends"))
    for number, storey in enumerate(_tables(photo.get("storeys")), 1):
        name = storey.get("name")
        told = name if isinstance(name, str) else f"storey {number}"
        called = tuple(f"{told}, {corner}" for corner in _CORNERS)
        yield _line("storey", f"{dotted}.storeys[{number}].corners", told, storey.get("corners"), called)
    straight = photo.get("straight")
    for number, edge in enumerate(straight if is_list(straight) else [], 1):
        yield _line("straight", f"{dotted}.straight[{number}]", f"straight edge {number}", edge)


def _line(kind: Any, place: str, name: str, marks: object, called: tuple[str, ...] = ()) -> PhotoLine:
    places = [_place(one) for one in marks] if is_list(marks) else []
    return PhotoLine(
        kind=kind,
        place=place,
        name=name,
        marks=tuple(
            PhotoMark(
                place=f"{place}[{number}]",
                says=called[number - 1] if number <= len(called) else f"{name}, mark {number}",
                at=at,
            )
            for number, at in enumerate(places, 1)
            if at is not None
        ),
    )


def _place(told: object) -> Place | None:
    if is_list(told) and len(told) == 2 and all(isinstance(one, int) for one in told):
        return told[0], told[1]
    return None


def _tables(told: object) -> list[Mapping[str, Any]]:
    return [one for one in told if is_table(one)] if is_list(told) else []


def _start(source: TomlSource, path: KeyPath, index: int, given: Mapping[str, Value]) -> Value:
    """Begin a photo with marks to be moved, its known length still to be told; a length; a straight edge."""
    if path == ("photo",):
        return _new_photo(given)
    corners = _corners(source, (*path[:-1], "corners"))
    if path[-1] == "wanted":
        return {"name": f"length {index + 1}", "ends": [corners[0], corners[3]], **given}
    if path[-1] == "straight":
        return [corners[0], _between(corners[0], corners[3]), corners[3]]
    if path[-1] == "storeys":
        below = _corners(source, (*path, index - 1, "corners")) if index else None
        # What it is seen from above no photo tells: the builder says it.
        return {"name": f"storey {index + 1}", "outline": "", "corners": _storey_on(below, corners), **given}
    raise OutsideRange(f"photos have no list of {path[-1]}")


def _corners(source: TomlSource, path: KeyPath) -> list[Value]:
    """Return four corners that stand in a text; any four where it has none."""
    marked = value_at(source.values, path)
    corners: list[Value] = [[*at] for at in map(_place, marked if is_list(marked) else []) if at]
    return corners if len(corners) == len(_CORNERS) else [[0, 100], [100, 100], [100, 0], [0, 0]]


def _storey_on(below: list[Value] | None, facade: list[Value]) -> list[Value]:
    """Return corners of a storey on the one below, up to the head of the facade; of its foot without one."""
    if below is None:
        left, right = _between(facade[0], facade[3]), _between(facade[1], facade[2])
        return [facade[0], facade[1], right, left]
    return [below[3], below[2], facade[2], facade[3]]


def _between(one: Any, other: Any) -> list[Value]:
    return [(one[0] + other[0]) // 2, (one[1] + other[1]) // 2]


def _new_photo(given: Mapping[str, Value]) -> Value:
    size = _place(given.get("size"))
    if size is None:
        raise OutsideRange("a photo has a size: two whole numbers of pixels")
    left, top = (int(_INSET * side) for side in size)
    right, foot = size[0] - left, size[1] - top
    corners: list[Value] = [[left, foot], [right, foot], [right, top], [left, top]]
    known = {"ends": corners[:2], "length": ""}
    return {
        **given,
        "corners": corners,
        "known": known,
        "wanted": [{"name": "height", "ends": [corners[0], corners[3]]}],
    }


def sent_to_tiers(draft: Draft, given: Mapping[str, object]) -> DraftWritten:
    """Write a tower's file beside the marks, as ``finial photo --tower`` does; never over one.

    ``{"high": quantity}``, the height of the model.

    Raises
    ------
    OutsideRange
        If no storey is marked, or the file is there already.
    UnitError
        If the height is none.
    BuildSheetError
        With what the marks' or the tower's reader refuses.
    """
    target = draft.path.with_name(f"{draft.path.stem}-tower.toml")
    if target.exists():
        raise OutsideRange(f"{target.name} is there already: take it away or rename it first")
    high_m = parse_quantity(given.get("high"), Dimension.LENGTH, above=0.0).value
    storeys = _read(draft.source()).storeys
    if not storeys:
        raise OutsideRange("no photo marks a storey: add storeys with their corners to the marks")
    text = tower_drawing(target.stem, storeys, high_m, us_units=False)
    tower_from(toml_from(target, text))
    write_atomically(target, text.encode())
    return DraftWritten(
        says=f"A tower is begun in {target.name}. Go on there: finial open {target.name}",
        files=(target.name,),
        revision=draft.revision(),
        leads_on=target.name,
    )
