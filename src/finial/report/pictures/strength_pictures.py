"""All pictures of ``finial strength``, by file name."""

from finial.assemble.strength.fins.records import FinHeld, FinStudy
from finial.findings.limits import Limits
from finial.findings.readiness import Readiness
from finial.report.pictures.strength_fins import (
    fin_before_and_after,
    fin_envelope_picture,
    fin_modes_picture,
    fin_sweep_picture,
)
from finial.report.pictures.strength_loads import strength_loads
from finial.report.pictures.strength_reserves import reserves_by_station, walls_with_and_without_rods


def strength_pictures(readiness: Readiness) -> dict[str, str]:
    """SVG text of loads, reserves, rods, and for every set of fins modes, swings, height and stays."""
    study, us = readiness.strength_study, readiness.us_units
    if study is None:
        return {}
    limit = Limits(own=readiness.own_limits)["reserve"].value
    drawn: dict[str, str] = {}
    if study.cases:
        drawn["loads.svg"] = strength_loads(study.cases, us_units=us)
    if len(study.by_station.stations_m) and study.cases:
        length = max(float(case.stations_m[-1]) for case in study.cases)
        drawn["reserves.svg"] = reserves_by_station(study.by_station, limit, length_m=length, us_units=us)
    if study.shares:
        drawn["rods.svg"] = walls_with_and_without_rods(study.shares, limit)
    for number, fin in enumerate(study.fins, start=1):
        mark = "" if len(study.fins) == 1 else f"-{number}"
        drawn[f"fin-modes{mark}.svg"] = fin_modes_picture(fin)
        drawn[f"fin-swings{mark}.svg"] = fin_sweep_picture(fin, us_units=us)
        drawn[f"fin-height{mark}.svg"] = fin_envelope_picture(fin, us_units=us)
        pair = before_and_after(fin)
        if pair is not None:
            drawn[f"fin-stays{mark}.svg"] = fin_before_and_after(fin, *pair, us_units=us)
    return drawn


def before_and_after(fin: FinStudy) -> tuple[FinHeld, FinHeld] | None:
    """Return the fin without and with stays: those it has, or those proposed."""
    if fin.bare is not None:
        return fin.bare, fin.held
    return (fin.held, fin.proposal.after) if fin.proposal else None
