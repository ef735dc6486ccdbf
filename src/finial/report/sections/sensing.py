"""What the computers see of the flight: ports, heights, clocks."""

import math

from finial.assemble.electronics.results import PortStudy, Sensing
from finial.core.dimensions import Dimension
from finial.report.document import Table
from finial.report.shown import NOT_KNOWN, Shown

SENSING_NOTE = (
    "Two computers that disagree: the first to fire decides, so each must be right by itself; those on one "
    "set of ports are wrong together. On the pad both must show the same height and every igniter, or nobody "
    "arms."
)


def sensing_tables(sensing: Sensing, shown: Shown) -> tuple[Table, ...]:
    """Tables of ports, of heights set and true, and of clocks; empty ones among them."""
    return (
        Table(
            title="What the barometers see",
            columns=(
                *("ports", "of", "holes", "asked by their bay", "pressure coefficient"),
                *("lag, fastest climb", "falls before the top"),
            ),
            rows=tuple(_port(one, sensing.lowest_top_m, shown) for one in sensing.ports),
            numbers=(2, 3, 4, 5, 6),
        ),
        Table(
            title="Heights set, and where it then is",
            columns=("igniter", "computer", "set to", "truly at"),
            rows=tuple(
                (
                    one.igniter,
                    one.computer,
                    shown.height(one.set_m),
                    shown.between(one.true, Dimension.LENGTH),
                )
                for one in sensing.fired
            ),
            numbers=(2, 3),
        ),
        _tops(sensing, shown),
        _felt_lift_off(sensing, shown),
        Table(
            title="Clocks beside the top",
            columns=("igniter", "set to", "tops after lift-off", "of", "fires after the top"),
            rows=tuple(
                (
                    one.igniter,
                    shown.plain(one.set_s, Dimension.TIME),
                    f"{one.earliest_top_s:.1f} to {one.latest_top_s:.1f} s",
                    f"{one.campaign} flights kept" if one.campaign else "flight and corners",
                    shown.between(one.after_top, Dimension.TIME),
                )
                for one in sensing.timers
            ),
            numbers=(1, 2, 4),
        ),
    )


def _tops(sensing: Sensing, shown: Shown) -> Table:
    """Show when each computer takes the top for reached, and by what."""
    return Table(
        title="The top, as each computer finds it",
        columns=("computer", "by", "brings out", "fires after the top"),
        rows=tuple(
            (
                one.computer,
                f"barometer, {one.port}" if one.port else "accelerometer",
                ", ".join(one.canopies),
                shown.between(one.after_top, Dimension.TIME),
            )
            for one in sensing.tops
        ),
        numbers=(3,),
    )


def _felt_lift_off(sensing: Sensing, shown: Shown) -> Table:
    """Show what accelerometers wait for at lift-off, and what they feel for so long."""
    return Table(
        title="Lift-off, as accelerometers feel it",
        columns=("computer", "waits for", "for", "flights give it", "a knock may hold it"),
        rows=tuple(
            (
                one.computer,
                shown.plain(one.asked_m_s2, Dimension.ACCELERATION),
                shown.between(one.held, Dimension.TIME),
                shown.between(one.held_level, Dimension.ACCELERATION),
                "at rest"
                if math.isinf(one.longest_knock_s)
                else shown.plain(one.longest_knock_s, Dimension.TIME),
            )
            for one in sensing.felt_lift_off
        ),
        numbers=(1, 2, 3, 4),
    )


def _port(port: PortStudy, top_m: float | None, shown: Shown) -> tuple[str, ...]:
    """Row of one set of holes; what the sheet does not describe is not known."""
    of = ", ".join(port.computers)
    if port.area is None or port.coefficient is None or port.lag_m is None:
        return (port.port, of, *(NOT_KNOWN,) * 5)
    return (
        port.port,
        of,
        f"{port.holes}: {shown.plain(port.area.value, Dimension.AREA)}",
        shown.plain(port.least_area_m2, Dimension.AREA),
        f"{port.coefficient.value:.2f} ({port.coefficient.low:.2f} to {port.coefficient.high:.2f}), "
        + ("tunnel" if port.from_tunnel else "sections"),
        shown.height(port.lag_m),
        shown.between(port.early_fall, Dimension.LENGTH, top_m or math.inf),
    )
