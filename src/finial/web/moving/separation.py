"""Separations followed in time, thinned to what the page shows."""

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from finial.assemble.recovery.records import FollowedPieces, FollowedScene, TetherStudy
from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness
from finial.recovery.tether.scene import TetherLine
from finial.report.pictures.axis_units import FORCE, LONG, chosen
from finial.report.shown import Shown
from finial.report.wording.recovery_study import CASES
from finial.web.moving.lines import rounded, rounded_rows
from finial.web.moving.records import MovedCase, MovedLine, MovedPiece, MovedSeparation

_MOST_MOMENTS = 160


def separations(readiness: Readiness) -> Iterator[MovedSeparation]:
    """Give every cord whose separation was followed."""
    study = readiness.recovery_study
    for tether in study.tethers if study else ():
        if tether.followed is not None:
            yield moved_scene(_title(tether), tether.followed, us_units=readiness.us_units)


def _title(tether: TetherStudy) -> str:
    return f"{tether.joint} parts, on {tether.cord}"


def moved_scene(title: str, scene: FollowedScene, *, us_units: bool) -> MovedSeparation:
    """Thin a followed separation to what a picture shows; no pull is lost."""
    long, force = chosen(LONG, us_units), chosen(FORCE, us_units)
    return MovedSeparation(
        title=title,
        unit=long.name,
        force_unit=force.name,
        pieces=tuple(
            MovedPiece(
                name=piece.name,
                fore=round(piece.fore_m * long.per_si, 4),
                aft=round(piece.aft_m * long.per_si, 4),
                radius=round(piece.radius_m * long.per_si, 4),
            )
            for piece in scene.pieces
        ),
        lines=tuple(_line(line, long.per_si) for line in scene.lines),
        cases=tuple(
            _case(case, (long.per_si, force.per_si), Shown(us_units=us_units)) for case in scene.cases
        ),
    )


def _line(line: TetherLine, per_m: float) -> MovedLine:
    return MovedLine(
        name=line.name,
        ends=(line.first.piece, line.second.piece),
        ties=(round(line.first.along_m * per_m, 4), round(line.second.along_m * per_m, 4)),
        length=round(line.length_m * per_m, 3),
        mouth=None if line.mouth is None else round(line.mouth.along_m * per_m, 4),
    )


def _case(case: FollowedPieces, per_si: tuple[float, float], shown: Shown) -> MovedCase:
    per_m, per_n = per_si
    kept = np.unique(np.linspace(0, len(case.times_s) - 1, _MOST_MOMENTS).round().astype(int))
    return MovedCase(
        name=_name(case),
        says=_says(case, shown),
        times_s=rounded(case.times_s[kept], 3),
        along=rounded_rows(case.places_m[kept, :, 0] * per_m, 3),
        up=rounded_rows(case.places_m[kept, :, 1] * per_m, 3),
        angles_rad=rounded_rows(case.angles_rad[kept], 4),
        tensions=rounded_rows(_peaks(case.tensions_n, kept) * per_n, 1),
        bends_deg=rounded(np.degrees(case.bends_rad[kept]), 1),
        lip_use=None if case.lip_use is None else rounded(_peaks(case.lip_use, kept), 3),
    )


def _peaks(values: NDArray[np.float64], kept: NDArray[np.int64]) -> NDArray[np.float64]:
    """Largest value from each kept moment to the next: a short pull is not lost between two of them."""
    return np.maximum.reduceat(values, kept, axis=0)


def _name(case: FollowedPieces) -> str:
    when = "on time" if case.offset_s == 0.0 else f"{abs(case.offset_s):g} s {_early_late(case.offset_s)}"
    return f"{when}, {CASES[case.wind]}"


def _early_late(offset_s: float) -> str:
    return "late" if offset_s > 0.0 else "early"


def _says(case: FollowedPieces, shown: Shown) -> str:
    pulls = case.tensions_n[:, :2].max(axis=1)
    at = int(pulls.argmax())
    peak = shown.plain(float(pulls[at]), Dimension.FORCE)
    if case.lip_use is None:
        lip = "What the lip of the tube holds is not known."
    elif case.lip_use.max() <= 0.0:
        lip = "The cord runs free of the lip."
    else:
        worst = int(case.lip_use.argmax())
        share, bend = case.lip_use[worst], math.degrees(case.bends_rad[worst])
        lip = (
            f"Hardest on the lip {case.times_s[worst]:.2f} s after it parts: {share:.0%} of what it holds,"
            f" the cord bent by {bend:.0f}°."
        )
    return f"The cord pulls hardest {case.times_s[at]:.2f} s after it parts, {peak}. {lip}"
