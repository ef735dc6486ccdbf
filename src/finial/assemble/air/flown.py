"""Drag as logs of this vehicle have told it, in the place of what is computed."""

from dataclasses import replace

from finial.aero.drag.sources import DragBuildUp, DragSource
from finial.assemble.air.sections import AirLoads
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
