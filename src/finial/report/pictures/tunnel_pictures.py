"""The pictures of a study of the tunnel, by file name."""

from collections.abc import Sequence

from finial.assemble.air.results import TunnelBeside
from finial.report.csv_text import table_csv
from finial.report.flow_words import flow_table, moments_table
from finial.report.pictures.silhouette import side_outline
from finial.report.pictures.tunnel_air import tunnel_air, tunnel_moments
from finial.report.pictures.tunnel_along import tunnel_along
from finial.report.pictures.tunnel_history import tunnel_history
from finial.report.pictures.tunnel_places import has_places, tunnel_places
from finial.report.pictures.tunnel_surface import tunnel_surface
from finial.report.shown import Shown
from finial.shape.skin import Skin
from finial.tunnel_study.store import KeptRun
from finial.tunnel_study.summaries import flows_in


def tunnel_pictures(
    skin: Skin, kept: Sequence[KeptRun], beside: TunnelBeside, *, us_units: bool = False
) -> dict[str, str]:
    """Draw the study, and the run at the largest angle with the wind to roll 0 or the next, finest grid."""
    whole = _whole(kept)
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
    for air in flows_in(whole[:1]):
        found["tunnel-air-speed.svg"] = tunnel_air(air, "speed", us_units=us_units)
        found["tunnel-air-pressure.svg"] = tunnel_air(air, "pressure", us_units=us_units)
        found["tunnel-moments.svg"] = tunnel_moments(air, us_units=us_units)
    return found


def tunnel_tables(kept: Sequence[KeptRun], *, us_units: bool = False) -> dict[str, str]:
    """Write the numbers of the air's pictures as files, by name."""
    shown = Shown(us_units=us_units)
    found: dict[str, str] = {}
    for air in flows_in(_whole(kept)[:1]):
        for number, name in enumerate(("along", "across")):
            found[f"tunnel-air-{name}.csv"] = table_csv(flow_table(air, number, shown))
        found["tunnel-moments.csv"] = table_csv(moments_table(air, shown))
    return found


def _whole(kept: Sequence[KeptRun]) -> list[KeptRun]:
    """Sort runs with the sheet's fins: the largest angle first, to roll 0 or the next, the finest grid."""
    return sorted(
        (one for one in kept if not one.told.bare),
        key=lambda one: (-one.told.angle_rad, one.told.roll_rad, -one.told.cells),
    )
