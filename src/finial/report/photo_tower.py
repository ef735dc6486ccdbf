"""Storeys read off photos as a drawing for ``finial tower``, scaled to the height of the model."""

from collections.abc import Iterator, Sequence

from finial.assemble.start.photos import FacadeStorey
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.files.edit import toml_value
from finial.report.shown import Shown


def tower_drawing(name: str, storeys: Sequence[FacadeStorey], model_m: float, *, us_units: bool) -> str:
    """Write the drawing: one part of all storeys, each with what it was read as beside it."""
    real_m = sum(one.height.length.value for one in storeys)
    shown = Shown(us_units=us_units)
    lines = [
        f"# {len(storeys)} storeys read off photos, 1:{real_m / model_m:.1f}: "
        f"{shown.height(real_m)} high in truth, {shown.length(model_m)} here.",
        "# Bores, roofs, ledges and windows are not seen by it: add them. Draw it with: finial tower",
        f"name = {toml_value(name)}",
        "",
        "[[part]]",
        'name = "tower"',
    ]
    for one in storeys:
        lines += _storey(one, model_m / real_m, us_units=us_units)
    return "\n".join(lines) + "\n"


def _storey(one: FacadeStorey, scale: float, *, us_units: bool) -> Iterator[str]:
    foot, top, height = one.foot.length, one.top.length, one.height.length
    shown = Shown(us_units=us_units)
    read = ", ".join(
        f"{what} {shown.between(each, Dimension.LENGTH)}"
        for what, each in (("foot", foot), ("top", top), ("height", height))
    )
    yield ""
    yield f"# {one.name}: {read}; {_by(one)}."
    if not one.agree:
        yield "# GUESS: the photos do not agree on it. Look at the marks, and at what lies out of the facade."
    yield "[[part.tiers]]"
    yield f"outline = {toml_value(one.outline)}"
    yield f"across = {_size(foot, scale, us_units)}"
    if not foot.meets(top):
        yield f"across_top = {_size(top, scale, us_units)}"
    yield f"height = {_size(height, scale, us_units)}"


def _by(one: FacadeStorey) -> str:
    straight = one.foot.length.meets(one.top.length)
    by = "one photo" if one.photos == 1 else f"{one.photos} photos"
    return f"by {by}{', straight within their errors' if straight else ''}"


def _size(length: Estimate, scale: float, us_units: bool) -> str:
    if us_units:
        return toml_value(f"{length.value * scale / 0.0254:.3f} in")
    return toml_value(f"{1e3 * length.value * scale:.1f} mm")
