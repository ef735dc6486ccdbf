"""Sentences of NMEA 0183 that tell a place: GGA, from any receiver."""

from collections.abc import Iterator
from functools import reduce
from pathlib import Path

from finial.files.flight_log.fixes import Fixes, TrackFix
from finial.files.flight_log.rows import log_refused

_FIELDS = 10
"""Up to the height and its unit: time, place, quality, satellites, dilution, height."""
_MOST_ODD = 0.1


def nmea_fixes(path: Path, text: str) -> Fixes:
    """Read the places of GGA sentences; those that end in a wrong checksum or have no fix are left out.

    Raises
    ------
    LogError
        If no line is such a sentence, or more than one in ten cannot be read.
    """
    odd: list[int] = []
    fixes = tuple(_fixes(text, odd))
    if not fixes and not odd:
        accepted = "sentences such as $GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47"
        raise log_refused(path, 1, "no GGA sentence with a place", accepted, "no fix all the way?")
    if len(odd) > max(5.0, _MOST_ODD * (len(fixes) + len(odd))):
        given = f"{len(odd)} GGA sentences that are cut or fail their checksum, here the first"
        raise log_refused(path, odd[0], given, "sentences that are whole", "a receiver that lost its link?")
    return Fixes(fixes=fixes, odd=tuple(odd))


def _fixes(text: str, odd: list[int]) -> Iterator[TrackFix]:
    for line, told in enumerate(text.splitlines(), start=1):
        # Recorders write their own mark before the sentence: it begins at the dollar.
        sentence = told[told.find("$") :].strip()
        if not (sentence.startswith("$") and sentence[3:6] == "GGA"):
            continue
        fix = _fix(line, sentence)
        if fix is None:
            odd.append(line)
        elif fix != _NO_FIX:
            yield fix


_NO_FIX = TrackFix(line=0, time_s=0.0, latitude_deg=0.0, longitude_deg=0.0, height_asl_m=0.0)


def _fix(line: int, sentence: str) -> TrackFix | None:
    """Read one sentence; ``None`` where it is damaged."""
    body, mark, sum_told = sentence[1:].partition("*")
    if mark and not _sums_up(body, sum_told):
        return None
    cells = body.split(",")
    if len(cells) < _FIELDS + 1:
        return None
    if cells[6] in ("", "0"):
        return _NO_FIX
    try:
        return TrackFix(
            line=line,
            time_s=_time_s(cells[1]),
            latitude_deg=_angle_deg(cells[2], cells[3], "NS", 90.0),
            longitude_deg=_angle_deg(cells[4], cells[5], "EW", 180.0),
            height_asl_m=float(cells[9]) if cells[9] and cells[10] == "M" else float("nan"),
        )
    except ValueError:
        return None


def _sums_up(body: str, told: str) -> bool:
    """All characters between dollar and star, each exclusively or-ed on the last."""
    try:
        return reduce(lambda total, letter: total ^ ord(letter), body, 0) == int(told[:2], 16)
    except ValueError:
        return False


def _time_s(cell: str) -> float:
    """Seconds since midnight of hhmmss.sss."""
    hours, minutes, seconds = int(cell[0:2]), int(cell[2:4]), float(cell[4:])
    if not (0 <= hours < 24 and 0 <= minutes < 60 and 0.0 <= seconds < 61.0):
        raise ValueError(cell)
    return 3600.0 * hours + 60.0 * minutes + seconds


def _angle_deg(cell: str, side: str, sides: str, most: float) -> float:
    """Degrees of dddmm.mmmm and its side; the second of ``sides`` counts below zero."""
    whole, _, _ = cell.partition(".")
    degrees, minutes = float(whole[:-2]), float(cell[len(whole) - 2 :])
    found = degrees + minutes / 60.0
    if not (side in sides and side and 0.0 <= minutes < 60.0 and 0.0 <= found <= most):
        raise ValueError(cell)
    return -found if side == sides[1] else found
