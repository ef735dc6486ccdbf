"""Tracks of a satellite receiver: GPX and KML with times, and NMEA sentences, to the columns of a log."""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finial.files.flight_log.nmea import nmea_fixes
from finial.files.flight_log.read import FEWEST_ROWS, FlightLog
from finial.files.flight_log.rows import log_refused, text_of
from finial.files.flight_log.track_markup import markup_fixes

TRACK_ENDINGS = (".gpx", ".kml", ".nmea")
DAY_S = 86_400.0


def is_track(path: Path) -> bool:
    """Whether a file's ending says that it is a track, which needs no mapping."""
    return path.suffix.casefold() in TRACK_ENDINGS


def read_track(path: Path) -> FlightLog:
    """Read a track: times, heights above the sea and places.

    Raises
    ------
    LogError
        If it cannot be read, has no times or no heights, or fewer than 20 places.
    """
    text, zeros = text_of(path)
    ending = path.suffix.casefold()
    told = nmea_fixes(path, text) if ending == ".nmea" else markup_fixes(path, text)
    fixes = told.fixes
    if len(fixes) < FEWEST_ROWS:
        line = fixes[-1].line if fixes else 1
        raise log_refused(path, line, f"{len(fixes)} places with a time", f"at least {FEWEST_ROWS}")
    heights = np.array([fix.height_asl_m for fix in fixes])
    if not np.isfinite(heights).any():
        raise log_refused(path, fixes[0].line, "places without a height", "a height above the sea with each")
    places = np.array([(fix.longitude_deg, fix.latitude_deg) for fix in fixes])
    return FlightLog(
        file=str(path),
        lines=np.array([fix.line for fix in fixes], dtype=np.int64),
        counts=_since_first([fix.time_s for fix in fixes], ending == ".nmea"),
        wraps_at_s=DAY_S if ending == ".nmea" else None,
        pressure_pa=None,
        height_m=heights,
        height_is_true=True,
        felt_m_s2=None,
        felt_range_m_s2=None,
        turning_rad_s=None,
        position_deg=places,
        odd=told.odd,
        zeros=zeros,
    )


def _since_first(times_s: list[float], from_midnight: bool) -> NDArray[np.float64]:
    """Count from the first: an epoch's seconds are too many to tell thousandths, those of a day are not."""
    times = np.array(times_s)
    return times if from_midnight else times - times[0]
