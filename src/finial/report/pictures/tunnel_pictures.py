"""The pictures of a study of the tunnel, by file name."""

from collections.abc import Sequence

from finial.assemble.air.results import TunnelBeside
from finial.report.pictures.silhouette import side_outline
from finial.report.pictures.tunnel_along import tunnel_along
from finial.report.pictures.tunnel_history import tunnel_history
from finial.report.pictures.tunnel_places import has_places, tunnel_places
from finial.report.pictures.tunnel_surface import tunnel_surface
from finial.shape.skin import Skin
from finial.tunnel_study.store import KeptRun


def tunnel_pictures(
    skin: Skin, kept: Sequence[KeptRun], beside: TunnelBeside, *, us_units: bool = False
) -> dict[str, str]:
    """Draw the study, and the run at the largest angle with the wind to roll 0 or the next, finest grid."""
    whole = sorted(
        (one for one in kept if not one.told.bare),
        key=lambda one: (-one.told.angle_rad, one.told.roll_rad, -one.told.cells),
    )
    found: dict[str, str] = {}
    if has_places(beside):
        found["tunnel-places.svg"] = tunnel_places(beside.rows, us_units=us_units)
    if whole:
        first = whole[0].told
        alike = [
            one.told
            for one in whole
            if (one.told.angle_rad, one.told.roll_rad) == (first.angle_rad, first.roll_rad)
        ]
        found["tunnel-along.svg"] = tunnel_along(alike, us_units=us_units)
        found["tunnel-pressure.svg"] = tunnel_surface(whole[0], side_outline(skin))
        found["tunnel-history.svg"] = tunnel_history(whole[0])
    return found
