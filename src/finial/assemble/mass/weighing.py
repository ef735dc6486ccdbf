"""The whole as the builder weighed and hung it, beside the mass table, and the table made to agree."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from finial.assemble.mass.results import WholeWeighed
from finial.assemble.mass.row import Row
from finial.assemble.vehicle.on_scales import told
from finial.core.estimates import Estimate, total
from finial.files.fields import across_m
from finial.files.sheet_day import WeighingEntry
from finial.mass.balance import Share, balance_point
from finial.mass.printed import with_mass
from finial.mass.properties import combined
from finial.mass.weighing import agreeing_masses, without


def weighed(entry: WeighingEntry, rows: Sequence[Row], motors: Row) -> WholeWeighed:
    """Compare the whole as weighed with the rows of everything but the motors.

    Parameters
    ----------
    entry : WeighingEntry
        What the sheet tells of the weighing.
    rows : sequence of Row
        Everything but the motors, as it was weighed.
    motors : Row
        The motors with all their propellant.

    Returns
    -------
    WholeWeighed
        Masses [kg] and balance points [m] without the motors.

    Notes
    -----
    A motor that was in on the scale is taken out by its data sheet, and the spread of its mass stays in.
    """
    mass, balance = told(entry)
    table = _summed([row.share_alone for row in rows])
    if entry.motor == "loaded":
        at = balance or balance_point([table, motors.share])
        left = without(Share(mass=mass, station=at), motors.share)
        mass, balance = left.mass, left.station if balance else None
    return WholeWeighed(mass=mass, table_mass=table.mass, balance=balance, table_balance=table.station)


def carried_over(found: WholeWeighed, before: Sequence[Row], now: Sequence[Row]) -> WholeWeighed:
    """Carry a weighing over to a changed vehicle: what was weighed, and what the table says changed.

    Parameters
    ----------
    found : WholeWeighed
        The vehicle before its change, weighed.
    before, now : sequence of Row
        Everything but the motors, before the change and after it.

    Returns
    -------
    WholeWeighed
        Masses [kg] and balance points [m] of the changed one, as unsure as the weighing.
    """
    old, new = (_summed([row.share_alone for row in rows]) for rows in (before, now))
    mass = found.mass.shifted(new.mass.value - old.mass.value)
    balance = found.balance
    if balance is not None:
        more = new.mass.value * new.station.value - old.mass.value * old.station.value
        now_m = (found.mass.value * balance.value + more) / mass.value
        balance = balance.shifted(now_m - balance.value)
    return WholeWeighed(mass=mass, table_mass=new.mass, balance=balance, table_balance=new.station)


def agreed(found: WholeWeighed, rows: tuple[Row, ...]) -> tuple[Row, ...]:
    """Rows that add up to what was weighed, as far as their intervals let them.

    Parameters
    ----------
    found : WholeWeighed
        The whole without its motors.
    rows : tuple of Row
        Everything but the motors, as the table has it.

    Returns
    -------
    rows : tuple of Row
        The same rows where the table cannot agree with what was weighed.
    """
    if not found.agrees:
        return rows
    masses = agreeing_masses([row.share for row in rows], found.mass, found.balance)
    return tuple(
        replace(
            row,
            mass=_narrowed(row.mass, float(mass), rows, found.mass),
            body=with_mass(row.body, float(mass)),
            alone=row.mass,
        )
        for row, mass in zip(rows, masses, strict=True)
    )


def moved_across(
    entry: WeighingEntry, rows: tuple[Row, ...], motors: Row, now: tuple[Row, ...]
) -> tuple[Row, ...]:
    """Move rows across together, so that the whole balances beside its axis where it was found to.

    Parameters
    ----------
    entry : WeighingEntry
        What the sheet tells of the weighing.
    rows : tuple of Row
        Everything but the motors, as it was weighed.
    motors : Row
        The motors with all their propellant.
    now : tuple of Row
        The same rows, as the sheet has them since.

    Returns
    -------
    rows : tuple of Row
        Those of now, each as far along y and z [m].
    """
    if entry.across is None:
        return now
    counted = rows if entry.motor == "out" else (*rows, motors)
    whole = combined(row.body for row in counted)
    across = np.array([0.0, *across_m(entry.across)])
    short = across - whole.centre_m * np.array([0.0, 1.0, 1.0])
    shift_m = short * whole.mass_kg / sum(row.body.mass_kg for row in rows)
    return tuple(replace(row, body=replace(row.body, centre_m=row.body.centre_m + shift_m)) for row in now)


def rest(found: WholeWeighed, rows: Sequence[Row]) -> Share:
    """Everything but the motors as one body: what the scale says and the rows allow, both at once."""
    summed = _summed([row.share for row in rows])
    if not found.agrees:
        return Share(mass=found.mass, station=found.balance or summed.station)
    return Share(
        mass=summed.mass.held_to(found.mass),
        station=summed.station.held_to(found.balance) if found.balance else summed.station,
    )


def _summed(shares: Sequence[Share]) -> Share:
    return Share(
        mass=total((share.mass for share in shares), method="sum of the rows"), station=balance_point(shares)
    )


def _narrowed(own: Estimate, mass_kg: float, rows: Sequence[Row], whole: Estimate) -> Estimate:
    """Interval of a row that the whole leaves it, all others being as light or heavy as they may be."""
    others_low = sum(row.mass.low for row in rows) - own.low
    others_high = sum(row.mass.high for row in rows) - own.high
    return replace(
        own,
        value=mass_kg,
        low=min(mass_kg, max(own.low, whole.low - others_high)),
        high=max(mass_kg, min(own.high, whole.high - others_low)),
    )
