"""Reserves of a set of fins and of its stays."""

from collections.abc import Iterator

from finial.assemble.strength.fins.records import FinHeld, FinStudy, StayStudy
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.structure.loads.case import Case, Load
from finial.structure.reserves import MOST, Because, FailureMode, Reserve, reserve_factor

FASTEST = Case(load=Load.MAX_SPEED)
WHOLE_FLIGHT = Case(load=Load.WHOLE_FLIGHT)


def fin_rows(fin: FinStudy) -> Iterator[Reserve]:
    """Reserves of a set of fins and of its stays."""
    held = fin.held
    if held.stress is not None:
        yield Reserve(
            mode=FailureMode.FIN_BREAKS,
            station_m=fin.station_m + held.stress_at_m[0],
            dimension=Dimension.PRESSURE,
            load=held.stress,
            strength=fin.strength,
            reserve=reserve_factor(fin.strength, held.stress),
            subject=fin.name,
            case=FASTEST,
        )
    if fin.root_glue is not None:
        load, strength = fin.root_glue
        yield Reserve(
            mode=FailureMode.FIN_ROOT_LETS_GO,
            station_m=fin.station_m,
            dimension=Dimension.PRESSURE,
            load=load,
            strength=strength,
            reserve=reserve_factor(strength, load),
            subject=fin.name,
            case=FASTEST,
        )
    yield _flutter_row(fin, _lowest_flutter(held), held)
    for number, stay in enumerate(fin.stays, start=1):
        yield from _stay_rows(fin, stay, number)


def _lowest_flutter(held: FinHeld) -> Estimate | None:
    found = [one for one in (held.flutter, held.flutter_all_alike) if one is not None]
    return min(found, key=lambda one: one.low, default=None)


def _flutter_row(fin: FinStudy, speed: Estimate | None, held: FinHeld) -> Reserve:
    nothing = exact(MOST, method="nothing grows below Mach 0.9")
    return Reserve(
        mode=FailureMode.FIN_FLUTTERS_BY_MODES,
        station_m=fin.station_m,
        dimension=Dimension.SPEED,
        load=fin.top_speed,
        strength=speed,
        reserve=nothing if speed is None else reserve_factor(speed, fin.top_speed),
        subject=fin.name,
        case=WHOLE_FLIGHT,
        because=_growth(speed, held),
        numbers={"hz": held.flutter_hz},
    )


def _growth(speed: Estimate | None, held: FinHeld) -> Because:
    """How it runs away."""
    if speed is None:
        return Because.NO_GROWTH
    alike = held.flutter_all_alike
    if alike is not None and (held.flutter is None or alike.low < held.flutter.low):
        return Because.ALL_ALIKE
    return Because.SWINGS if held.flutter_hz else Because.TWISTS_AWAY


def _stay_rows(fin: FinStudy, stay: StayStudy, number: int) -> Iterator[Reserve]:
    station, numbers = fin.station_m + stay.pair.along_m, {"stay": float(number)}

    def row(mode: FailureMode, load: Estimate, strength: Estimate) -> Reserve:
        return Reserve(
            mode=mode,
            station_m=station,
            dimension=Dimension.FORCE,
            load=load,
            strength=strength,
            reserve=reserve_factor(strength, load) or exact(MOST, method="nothing loads it"),
            subject=fin.name,
            case=FASTEST,
            numbers=numbers,
        )

    if stay.crosses_body_at_m is not None:
        yield Reserve(
            mode=FailureMode.STAY_CROSSES_BODY,
            station_m=stay.crosses_body_at_m,
            dimension=Dimension.LENGTH,
            reserve=exact(0.0),
            subject=fin.name,
            numbers=numbers,
        )
    if stay.slack_reserve is not None:
        yield Reserve(
            mode=FailureMode.STAY_SLACKENS,
            station_m=station,
            dimension=Dimension.LENGTH,
            load=stay.shift,
            strength=stay.slack_at,
            reserve=stay.slack_reserve,
            subject=fin.name,
            case=FASTEST,
            because=Because.SHIFTS,
            numbers={**numbers, "shift": stay.shift.value},
        )
    yield row(FailureMode.STAY_BREAKS, stay.tight_n, stay.strength_n)
    inward = exact(max(stay.inward_n, 1e-6), known_by=KnownBy.COMPUTED)
    yield row(FailureMode.STAY_BOWS_FIN, inward, stay.bowing_n)
    if stay.anchor_holds_n is not None:
        yield row(FailureMode.STAY_ANCHOR_LETS_GO, stay.tight_n, stay.anchor_holds_n)
    elif stay.pair.to == "body":
        yield Reserve(
            mode=FailureMode.STAY_ANCHOR_LETS_GO,
            station_m=station,
            dimension=Dimension.FORCE,
            load=stay.tight_n,
            subject=fin.name,
            case=FASTEST,
            because=Because.ANCHOR_UNSAID,
            numbers=numbers,
        )
