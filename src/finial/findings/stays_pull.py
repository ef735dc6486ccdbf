"""Stays that the long look proposes, as something to pull at."""

from collections.abc import Iterator

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.levers import metres, newtons
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.tweak import Tweak, TweakKind
from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness


def stays_pulls(vehicle: LoadedVehicle, before: Readiness) -> Iterator[Tweak]:
    """One pull for each fin of the sheet that has no stays, and for which the long look found some."""
    study = before.strength_study
    proposed = {fin.name: fin.proposal.pair for fin in study.fins if fin.proposal} if study else {}
    for index, fin in enumerate(vehicle.sheet.fin):
        pair = proposed.get(fin.name)
        if pair is None or fin.stays:
            continue
        stay = {
            "diameter": metres(pair.diameter_m),
            "along": metres(pair.along_m),
            "outward": metres(pair.outward_m),
            "preload": newtons(pair.preload_n),
        }

        def stayed(_one: float, at: int = index, wires: dict[str, str] = stay) -> Changes:
            return {("fin", at, "stays"): [wires]}

        yield Tweak(
            kind=TweakKind.STAYS,
            name=fin.name,
            now=0.0,
            most=1.0,
            step=1.0,
            dimension=Dimension.RATIO,
            changes=stayed,
        )
