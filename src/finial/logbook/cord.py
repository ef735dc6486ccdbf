"""What the cord did when the separation came early or late, by the model: pull and zipper's margin."""

from dataclasses import dataclass

from finial.assemble.basis import basis_of
from finial.assemble.looks.answer import answer
from finial.assemble.recovery.records import PulledCase, TetherStudy
from finial.assemble.recovery.study import recovery_study
from finial.assemble.vehicle.loading import LoadedVehicle

DAY = "day"


@dataclass(frozen=True, slots=True, kw_only=True)
class CordThen:
    """One cord at the separation as the log has it, between the two events followed in time beside it."""

    cord: str
    late_s: float
    """Against the planned event; below zero it was early."""
    pull_n: float
    """The larger of the two peaks."""
    margin: float | None
    """Strength of the lip over the cord's pull on it, less one, the lesser of the two; ``None`` where the
    sheet does not tell the lip."""
    beyond: bool
    """Whether it was later or earlier than any event that was followed."""


def cords_then(vehicle: LoadedVehicle, late_s: float) -> tuple[CordThen, ...]:
    """Follow every cord of the sheet's vehicle at a separation so much off its planned time."""
    study = recovery_study(basis_of(vehicle), answer(vehicle).recovery, lambda _note: None)
    return tuple(cord_then(tether, late_s) for tether in study.tethers)


def cord_then(tether: TetherStudy, late_s: float) -> CordThen:
    """Pull that one cord would have felt, that much later."""
    cases = sorted((one for one in tether.cases if one.wind == DAY), key=lambda one: one.offset_s)
    beside = _beside(cases, late_s)
    margins = [one.margin for one in beside if one.margin is not None]
    return CordThen(
        cord=tether.cord,
        late_s=late_s,
        pull_n=max(one.peak_n for one in beside),
        margin=min(margins) if len(margins) == len(beside) else None,
        beyond=not cases[0].offset_s <= late_s <= cases[-1].offset_s,
    )


def _beside(cases: list[PulledCase], late_s: float) -> tuple[PulledCase, ...]:
    """Cases next before and next after; the outermost alone beyond them."""
    before = [one for one in cases if one.offset_s <= late_s]
    after = [one for one in cases if one.offset_s >= late_s]
    return (*before[-1:], *after[:1])
