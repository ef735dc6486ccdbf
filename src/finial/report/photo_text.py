"""Lengths read off photos, as a table and as plain numbers."""

from collections.abc import Iterator
from typing import Any

from finial.assemble.start.photos import FacadeLength, FacadeRead, PhotoSeen
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.report.document import ReportSection, Table
from finial.report.estimate_json import ends_plain
from finial.report.lines import WIDTH, TextLine, section_lines
from finial.report.shown import NOT_KNOWN, Shown

_PROUD_M = 1.0


def photo_lines(found: FacadeRead, *, us_units: bool, width: int = WIDTH) -> tuple[TextLine, ...]:
    """List the lengths, then the photos."""
    return section_lines(photo_section(found, Shown(us_units=us_units)), width=width)


def photo_section(found: FacadeRead, shown: Shown) -> ReportSection:
    """Put the lengths and the photos in tables, with what warns of them."""
    return ReportSection(
        key="photos",
        title="Lengths on the facade",
        tables=(
            *_lengths(found, shown),
            *_storeys(found, shown),
            Table(
                title="Photos",
                columns=("photo", "distance", "straight edges bow by"),
                rows=tuple(_photo(one, shown) for one in found.photos),
                numbers=(),
            ),
        ),
        notes=tuple(_notes(found, shown)),
    )


def _lengths(found: FacadeRead, shown: Shown) -> Iterator[Table]:
    if not found.lengths:
        return
    first = found.lengths[0]
    yield Table(
        title="Lengths, two standard deviations either way",
        columns=("what", "length", f"over {first.name}", "photos", "agree"),
        rows=tuple(_length(one, first.together.length, shown) for one in found.lengths),
        numbers=(2, 3),
    )


def _storeys(found: FacadeRead, shown: Shown) -> Iterator[Table]:
    if not found.storeys:
        return
    yield Table(
        title="Storeys from the ground up, two standard deviations either way",
        columns=("storey", "foot", "top", "height", "photos", "agree"),
        rows=tuple(
            (
                one.name,
                *(
                    shown.between(several.length, Dimension.LENGTH)
                    for several in (one.foot, one.top, one.height)
                ),
                str(one.photos),
                "one alone" if one.photos == 1 else ("yes" if one.agree else "no"),
            )
            for one in found.storeys
        ),
        numbers=(4,),
    )


def _length(one: FacadeLength, first: Estimate, shown: Shown) -> tuple[str, ...]:
    together = one.together
    apart = "yes" if together.agree else f"no: {together.apart:.1f} deviations apart"
    return (
        one.name,
        shown.between(together.length, Dimension.LENGTH),
        f"{together.length.value / first.value:.3f}",
        str(len(one.by_photo)),
        "one alone" if len(one.by_photo) == 1 else apart,
    )


def _photo(one: PhotoSeen, shown: Shown) -> tuple[str, ...]:
    distance = one.view.distance_m
    return (
        one.name,
        NOT_KNOWN if distance is None else shown.height(distance),
        NOT_KNOWN if one.bowed_px is None else f"{one.bowed_px:.1f} px",
    )


def _notes(found: FacadeRead, shown: Shown) -> list[str]:
    notes: list[str] = []
    bent = [one.name for one in found.photos if one.is_bent]
    if bent:
        notes.append(f"The lens bends straight edges in {', '.join(bent)}: mark nearer the middle.")
    flat = [one.name for one in found.photos if one.view.focal_px is None]
    if flat:
        notes.append(
            f"Too nearly square-on to tell the lens: {', '.join(flat)}. Tell focal_35mm, or go aside."
        )
    for one in found.photos:
        if one.view.distance_m is not None and one.view.distance_m > 2 * _PROUD_M:
            share = 100.0 * _PROUD_M / (one.view.distance_m - _PROUD_M)
            notes.append(
                f"{one.name}: what stands {shown.height(_PROUD_M)} out of the facade reads {share:.1f} % too "
                "long, unless proud tells it."
            )
    notes += [
        f"The photos do not agree on {one.name}: look at the marks, and at what does not lie in the facade."
        for one in (*found.lengths, *found.storeys)
        if not one.agree
    ]
    return notes


def photo_plain(found: FacadeRead) -> dict[str, Any]:
    """Return plain numbers in SI."""
    return {
        "photos": [
            {
                "name": one.name,
                "focal_px": one.view.focal_px,
                "distance_m": one.view.distance_m,
                "bowed_px": one.bowed_px,
                "is_bent": one.is_bent,
            }
            for one in found.photos
        ],
        "lengths": [
            {
                "name": one.name,
                "length_m": ends_plain(one.together.length),
                "apart": one.together.apart,
                "agree": one.together.agree,
                "by_photo": [{"photo": name, **ends_plain(length)} for name, length in one.by_photo],
            }
            for one in found.lengths
        ],
        "storeys": [
            {
                "name": one.name,
                "outline": one.outline,
                "foot_m": ends_plain(one.foot.length),
                "top_m": ends_plain(one.top.length),
                "height_m": ends_plain(one.height.length),
                "photos": one.photos,
                "agree": one.agree,
            }
            for one in found.storeys
        ],
    }
