"""Drag and centre of pressure as logs of this vehicle have told them, in the place of what is computed."""

from dataclasses import replace

from finial.aero.band.band import band_with
from finial.aero.band.measured import measured_parts
from finial.aero.drag.sources import DragBuildUp, DragSource
from finial.assemble.air.sections import AirLoads, with_loads
from finial.core.estimates import Estimate, KnownBy

METHOD = "computed, times what logs of its flights tell"


def with_flown_drag(loads: AirLoads, factor: Estimate) -> AirLoads:
    """Scale every row of the drag and the table of a flight alike; the rows' doubt becomes the factor's.

    Parameters
    ----------
    loads : AirLoads
        As computed.
    factor : Estimate
        Drag of the flown vehicle over the computed [-].

    Returns
    -------
    loads : AirLoads
        With that drag [-]; nothing else changes.
    """
    drag = _scaled(loads.drag, factor)
    table = loads.result.table
    result = replace(
        loads.result,
        table=replace(
            table,
            axial_power_on=table.axial_power_on * factor.value,
            axial_power_off=table.axial_power_off * factor.value,
        ),
        drag_rows=drag.sources(burning=False),
        base_burning=drag.base_power_on.coefficient,
    )
    return replace(loads, drag=drag, result=result)


def with_flown_centre(loads: AirLoads, shift: Estimate, balance_m: float) -> AirLoads:
    """Move the force across along the vehicle, in the band and in the table of a flight alike.

    Parameters
    ----------
    loads : AirLoads
        As computed.
    shift : Estimate
        How far aft of the computed the centre of pressure lies [m].
    balance_m : float
        Station that moments are about where the force is small [m].

    Returns
    -------
    loads : AirLoads
        With the centre there [m]; damping, drag and the bare body stay.
    """
    table, band = loads.result.table, loads.band
    step = shift.value / table.width_m
    moved = replace(
        table,
        along_moment=table.along_moment + step * table.along,
        across_moment=table.across_moment + step * table.across,
    )
    parts = measured_parts(band.finned, balance_m, shift)
    return with_loads(
        loads,
        band=band_with(band, parts, balance_m, band.slope.method),
        table=moved,
        balance_m=balance_m,
        source=loads.result.source,
    )


def _scaled(drag: DragBuildUp, factor: Estimate) -> DragBuildUp:
    return replace(
        drag,
        rows=tuple(_row(row, factor) for row in drag.rows),
        base_power_off=_row(drag.base_power_off, factor),
        base_power_on=_row(drag.base_power_on, factor),
    )


def _row(row: DragSource, factor: Estimate) -> DragSource:
    ends = sorted(row.coefficient.value * end for end in (factor.low, factor.high))
    coefficient = replace(
        row.coefficient,
        value=row.coefficient.value * factor.value,
        low=ends[0],
        high=ends[1],
        known_by=KnownBy.MEASURED,
        method=METHOD,
    )
    return replace(row, coefficient=coefficient)
