"""A design judged by every check there is, for the search that sizes several things at once."""

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import replace

from finial.assemble.spread.case import FlightCase, flight_case
from finial.assemble.vehicle.changes import Changes, changed
from finial.assemble.vehicle.loading import LoadedVehicle, motor_of, with_motor
from finial.campaign.as_meant import OddsWanted, least_odds
from finial.core.content import content_hash
from finial.core.errors import FinialError
from finial.files.motor_data import MotorData
from finial.findings.check import readiness
from finial.findings.finding import Finding
from finial.findings.long_looks import left_open
from finial.findings.motor_choice import misfits
from finial.findings.readiness import Depth
from finial.sizing.judged import Judged
from finial.sizing.notebook import Point
from finial.sizing.search import Judge

_UNKNOWN = 1.0
"""What a check that is not known, or fails without a number, counts as missing [-]."""
_WORST = 10.0
Motors = Mapping[str, MotorData]
"""Motors that designs may have, by the names that a sheet has for their files."""
_OWN: Motors = {}


def judge_design(vehicle: LoadedVehicle, changes: Changes, motors: Motors = _OWN) -> Judged:
    """Answer for a design by the quick look: its mass, and what is missing to a go of the quick look.

    A design with another motor than the sheet's must also take it in its mount.
    """
    try:
        found = readiness(of_motor(vehicle, changes, motors), changes, depth=Depth.QUICK)
    except FinialError:
        # A design that cannot even be flown is far from a go.
        return Judged(mass_kg=0.0, missing=_WORST * 10.0, is_go=False)
    fits = other_misfits(vehicle, changes, motors)
    judged = [*(finding for finding in found.findings if not left_open(finding)), *fits]
    return Judged(
        mass_kg=found.flight.lift_off_mass_kg,
        missing=sum(map(_missing, judged)),
        is_go=not any(finding.fails for finding in judged),
        apogee_m=found.flight.apogee_agl.value,
    )


def of_motor(vehicle: LoadedVehicle, changes: Changes, motors: Motors) -> LoadedVehicle:
    """Return the vehicle with the motor that changes name, where it is one of those given."""
    other = _other_motor(changes, motors)
    return with_motor(vehicle, other) if other else vehicle


def other_misfits(vehicle: LoadedVehicle, changes: Changes, motors: Motors) -> tuple[Finding, ...]:
    """Judge whether another motor that changes name fits the mount; nothing where it is the sheet's own."""
    other = _other_motor(changes, motors)
    return tuple(misfits(vehicle, other)) if other else ()


def _other_motor(changes: Changes, motors: Motors) -> MotorData | None:
    return motors.get(str(changes.get(("motor", "data"))))


def judge_with_odds(
    vehicle: LoadedVehicle, changes: Changes, motors: Motors = _OWN, *, wanted: OddsWanted
) -> Judged:
    """Answer as :func:`judge_design`; a design that goes must also come down as meant often enough.

    Only designs that go are flown: odds do not lift a verdict. What is missing is then the share of
    flights between the lower bound and what is wanted.
    """
    judged = judge_design(vehicle, changes, motors)
    return _flown(judged, _case(vehicle, changes, motors), wanted) if judged.is_go else judged


def judged_with_odds(
    vehicle: LoadedVehicle, designs: Iterable[Changes], motors: Motors = _OWN, *, wanted: OddsWanted
) -> Iterator[Judged]:
    """Answer as :func:`judge_with_odds` for one design after the other.

    Each is flown while the next is looked at: the flights leave a core to it whenever it needs one.
    """
    with ThreadPoolExecutor(1) as pool:
        before: Future[Judged] | None = None
        for changes in designs:
            judged = judge_design(vehicle, changes, motors)
            case = _case(vehicle, changes, motors) if judged.is_go else None
            now = pool.submit(_flown, judged, case, wanted)
            if before:
                yield before.result()
            before = now
        if before:
            yield before.result()


def judging(
    vehicle: LoadedVehicle,
    written: Callable[[Point], Changes],
    motors: Motors = _OWN,
    wanted: OddsWanted | None = None,
) -> Judge:
    """Return what judges points of a search on this machine, with odds where they are wanted."""
    if wanted is None:
        return lambda points: (judge_design(vehicle, written(point), motors) for point in points)
    return lambda points: judged_with_odds(vehicle, map(written, points), motors, wanted=wanted)


def _case(vehicle: LoadedVehicle, changes: Changes, motors: Motors) -> FlightCase:
    return flight_case(changed(of_motor(vehicle, changes, motors), changes))


def _flown(judged: Judged, case: FlightCase | None, wanted: OddsWanted) -> Judged:
    if case is None:
        return judged
    low = least_odds(case, wanted)
    return replace(judged, missing=max(wanted.share - low, 0.0), is_go=low >= wanted.share, odds=low)


def _missing(finding: Finding) -> float:
    if not finding.fails:
        return 0.0
    if finding.margin is None or finding.margin >= 0.0:
        return _UNKNOWN
    return min(-finding.margin, _WORST)


def about_search(
    vehicle: LoadedVehicle, motors: Motors = _OWN, wanted: OddsWanted | None = None, rounding: str = ""
) -> str:
    """Say what a search is about, so that only searches for the same share what they judged.

    Odds change what a design comes to, and so does a card that rounds as ``rounding`` says.
    """
    if wanted is None:
        return vehicle_hash(vehicle, motors)
    on = f" on {rounding}" if rounding else ""
    odds = f" odds {wanted.share} of {wanted.flights} from {wanted.seed}{on}"
    return f"{vehicle_hash(vehicle, motors)}{odds}"


def vehicle_hash(vehicle: LoadedVehicle, motors: Motors = _OWN) -> str:
    """Hash of all that the sheet says of a vehicle, of its skin, its motors and those it may have."""
    digest = hashlib.sha256(repr(vehicle.sheet).encode())
    may_have = [(name, motor_of(data)) for name, data in sorted(motors.items())]
    digest.update(content_hash(vehicle.motors, tuple(may_have)).encode())
    digest.update(vehicle.skin.areas_m2.tobytes())
    return digest.hexdigest()
