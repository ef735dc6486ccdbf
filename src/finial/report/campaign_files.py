"""Everything a campaign leaves in files beside its flights: pictures, maps, the answer as JSON."""

from typing import Final

import numpy as np

from finial.campaign.answers import CampaignAnswer
from finial.campaign.flown import FlownCampaign
from finial.campaign.spot import Spot
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.report.campaign_json import campaign_to_json
from finial.report.campaign_map import OnMap, geojson, kml
from finial.report.pictures.axis_units import LONG, SPEED, chosen
from finial.report.pictures.campaign_landings import campaign_landings
from finial.report.pictures.campaign_shares import campaign_shares
from finial.report.pictures.campaign_spread import campaign_spread

MOST_SHOWN: Final = 200_000
"""Flights that pictures are drawn of: more would not be seen in them."""


def campaign_files(
    name: str,
    flown: FlownCampaign,
    answer: CampaignAnswer,
    spot: Spot,
    pad_rad: tuple[float, float] | None,
    *,
    us_units: bool,
) -> dict[str, str]:
    """Return file names and their text; maps only where the pad's latitude and longitude are known."""
    shown = flown.first(MOST_SHOWN)
    landings = shown.landings_m(sound=True)
    files = {
        "answer.json": campaign_to_json(name, answer),
        "landings.svg": campaign_landings(landings, answer.ellipse, spot.field_m, us_units=us_units),
    }
    files |= _spreads(shown, spot, us_units=us_units, of_more=shown.count < flown.count)
    for key, found in answer.decided.items():
        title = next((one.name for one in answer.scatters if one.key == key), key)
        if found.causes:
            files[f"decides-{_plain_name(key)}.svg"] = campaign_shares(title, found.causes)
    if pad_rad is not None:
        drawn = OnMap(
            name=name, pad_rad=pad_rad, landings_m=landings, ellipse=answer.ellipse, field_m=spot.field_m
        )
        files |= {"landings.geojson": geojson(drawn), "landings.kml": kml(drawn)}
    return files


def _spreads(flown: FlownCampaign, spot: Spot, *, us_units: bool, of_more: bool) -> dict[str, str]:
    beside = f"; the first {flown.count:,} flights" if of_more else ""
    long, speed = chosen(LONG, us_units), chosen(SPEED, us_units)
    ceiling = None if spot.ceiling_agl_m is None else spot.ceiling_agl_m * long.per_si
    asked = (
        ("apogee", "apogee_m", long.per_si, f"apogee above ground, {long.name}", ceiling),
        ("rail-exit-speed", "rail_exit_speed_m_s", speed.per_si, f"speed off the rail, {speed.name}", None),
        ("max-alpha", "max_alpha_rad", 180.0 / np.pi, "largest angle of attack under thrust, deg", None),
        ("acceleration", "max_acceleration_m_s2", 1.0 / STANDARD_GRAVITY_M_S2, "top acceleration, g", None),
    )
    columns = ((file, flown.results[key] * per_si, label, limit) for file, key, per_si, label, limit in asked)
    return {
        f"{file}.svg": campaign_spread(values, f"{label}{beside}", limit)
        for file, values, label, limit in columns
        if np.isfinite(values).any()
    }


def _plain_name(key: str) -> str:
    """Return a result's key without its unit, for a file's name.

    Examples
    --------
    >>> _plain_name("rail_exit_speed_m_s")
    'rail-exit-speed'
    """
    for unit in ("_m_s", "_m", "_rad"):
        if key.endswith(unit):
            return key.removesuffix(unit).replace("_", "-")
    return key.replace("_", "-")
