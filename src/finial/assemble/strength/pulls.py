"""What pulls at the halves of a joint, along and across: by closed form, or as it was followed in time."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from finial.assemble.recovery.records import RecoveryStudy, TetherStudy
from finial.assemble.recovery.results import RecoveryResult
from finial.assemble.recovery.zipper import ON_TIME_S
from finial.core.estimates import Estimate, KnownBy
from finial.files.sheet import Sheet
from finial.recovery.tether.outcome import EndPull
from finial.structure.loads.case import Half, Load

ANY_ANGLE_RAD = math.pi / 4
"""How far off the axis a cord pulls where nobody followed it [rad]; assumed: the halves swing first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfPull:
    """Pull on one half: along its axis and across it [N]."""

    along: Estimate
    across: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class CordPull:
    """A pull at one joint, on both of its halves."""

    load: Load
    subject: str
    """Cord or canopy by its name in the sheet."""
    station_m: float
    on: dict[Half, HalfPull]


def slanted(force: Estimate) -> HalfPull:
    """Components of a pull whose angle nobody knows, taken as half way between along and across.

    Parameters
    ----------
    force : Estimate
        The pull [N].

    Returns
    -------
    pull : HalfPull
        Along and across [N].

    Notes
    -----
    Range: assumed; the halves swing before a cord comes taut.

    References
    ----------
    .. [1] Components of a force; no source needed.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(slanted(exact(100.0)).across.value, 1)
    70.7
    """
    part = force.scaled(math.cos(ANY_ANGLE_RAD))
    return HalfPull(along=part, across=part)


def quick_pulls(sheet: Sheet, recovery: RecoveryResult) -> tuple[CordPull, ...]:
    """Largest of each cord's stop and the canopies' opening, by closed form, 45 degrees off the axis."""
    openings = [one.opening_load for one in (*recovery.canopies, *recovery.others)]
    peaks = {
        cord.name: max([cord.peak_load, *openings], key=lambda load: load.high) for cord in recovery.cords
    }
    return tuple(
        CordPull(
            load=Load.CORD_PULLS,
            subject=cord.name,
            station_m=station_of(sheet, cord.joint),
            on=dict.fromkeys(Half, slanted(peaks[cord.name])),
        )
        for cord in sheet.recovery.cord
    )


def followed_pulls(sheet: Sheet, recovery: RecoveryResult, study: RecoveryStudy) -> tuple[CordPull, ...]:
    """Return the pulls of every cord that was followed; the closed form for those that were not."""
    followed = {tether.cord: tether for tether in study.tethers}
    pulls: list[CordPull] = []
    for pull in quick_pulls(sheet, recovery):
        tether = followed.get(pull.subject)
        pulls += [pull] if tether is None else _followed(sheet, tether)
    return tuple(pulls)


def _followed(sheet: Sheet, tether: TetherStudy) -> Iterator[CordPull]:
    """Yield the pulls on time and those off time."""
    cases = (*tether.cases, *tether.spread)
    timely = [case for case in cases if abs(case.offset_s) <= ON_TIME_S]
    late = [case for case in cases if abs(case.offset_s) > ON_TIME_S]
    for load, some in ((Load.CORD_PULLS, timely), (Load.CORD_PULLS_LATE, late)):
        if some:
            yield CordPull(
                load=load,
                subject=tether.cord,
                station_m=station_of(sheet, tether.joint),
                on={
                    Half.FORE: _over([case.on_fore for case in some], tether),
                    Half.AFT: _over([case.on_aft for case in some], tether),
                },
            )


def _over(pulls: Sequence[EndPull], tether: TetherStudy) -> HalfPull:
    return HalfPull(
        along=_spread([pull.along_n for pull in pulls], tether),
        across=_spread([pull.across_n for pull in pulls], tether),
    )


def _spread(pulls_n: Sequence[float], tether: TetherStudy) -> Estimate:
    """Return pulls over cases [N]: the middle one, the least and the largest."""
    pulls = sorted(pulls_n)
    return Estimate(
        value=pulls[len(pulls) // 2],
        low=pulls[0],
        high=pulls[-1],
        known_by=max(KnownBy.COMPUTED, tether.closed_form.known_by),
        method="separation followed in time",
        source="pieces on lines, each case its own",
    )


def station_of(sheet: Sheet, joint: str) -> float:
    """Station of a joint by its name [m]."""
    return next(one.station.value for one in sheet.recovery.joint if one.name == joint)
