"""A design judged by every check there is, for the search that sizes several things at once."""

import hashlib
from dataclasses import replace

from finial.assemble.spread.case import flight_case
from finial.assemble.vehicle.changes import Changes, changed
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.campaign.as_meant import OddsWanted, least_odds
from finial.core.errors import FinialError
from finial.findings.check import readiness
from finial.findings.finding import Finding
from finial.findings.long_looks import left_open
from finial.findings.readiness import Depth
from finial.sizing.judged import Judged

_UNKNOWN = 1.0
"""What a check that is not known, or fails without a number, counts as missing [-]."""
_WORST = 10.0


def judge_design(vehicle: LoadedVehicle, changes: Changes) -> Judged:
    """Answer for a design by the quick look: its mass, and what is missing to a go of the quick look."""
    try:
        found = readiness(vehicle, changes, depth=Depth.QUICK)
    except FinialError:
        # A design that cannot even be flown is far from a go.
        return Judged(mass_kg=0.0, missing=_WORST * 10.0, is_go=False)
    judged = [finding for finding in found.findings if not left_open(finding)]
    return Judged(
        mass_kg=found.flight.lift_off_mass_kg,
        missing=sum(map(_missing, judged)),
        is_go=not any(finding.fails for finding in judged),
    )


def judge_with_odds(vehicle: LoadedVehicle, changes: Changes, wanted: OddsWanted) -> Judged:
    """Answer as :func:`judge_design`; a design that goes must also come down as meant often enough.

    Only designs that go are flown: odds do not lift a verdict. What is missing is then the share of
    flights between the lower bound and what is wanted.
    """
    judged = judge_design(vehicle, changes)
    if not judged.is_go:
        return judged
    low = least_odds(flight_case(changed(vehicle, changes)), wanted)
    return replace(judged, missing=max(wanted.share - low, 0.0), is_go=low >= wanted.share)


def _missing(finding: Finding) -> float:
    if not finding.fails:
        return 0.0
    if finding.margin is None or finding.margin >= 0.0:
        return _UNKNOWN
    return min(-finding.margin, _WORST)


def vehicle_hash(vehicle: LoadedVehicle) -> str:
    """Hash of everything the sheet says of a vehicle, and of its skin."""
    digest = hashlib.sha256(repr(vehicle.sheet).encode())
    digest.update(repr((vehicle.motor.name, vehicle.motor.thrusts_n.tolist())).encode())
    digest.update(vehicle.skin.areas_m2.tobytes())
    return digest.hexdigest()
