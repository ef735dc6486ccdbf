"""``finial size``: what to change, and by how much."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from finial.cli.options import exit_code, json_option, quiet_option, sheet_argument, teller
from finial.cli.search_command import command as search
from finial.cli.sized import loaded, write_option, written
from finial.report.progress import compile_flight

if TYPE_CHECKING:
    from finial.assemble.vehicle.loading import LoadedVehicle
    from finial.sizing.solve import Sized


@click.group("size")
def command() -> None:
    """Size one thing for one aim, trade several, or search for the lightest that goes."""


command.add_command(search)


@command.command("mend")
@sheet_argument
@write_option
@json_option
@quiet_option
def mend(sheet: Path, **how: Any) -> int:
    """Smallest set of changes that mends what the check finds wrong, or the best so far and what stops it.

    What is not in the sheet it does not invent: what must be entered, tested or wired is listed.

    Exit codes: those of the verdict that the whole check gives with the changes.
    """
    import json

    from finial.findings.check import readiness
    from finial.findings.mending import mend as mended
    from finial.report.size_text import mend_lines, mend_plain
    from finial.report.terminal import terminal_width, write

    vehicle = loaded(sheet, how)
    found = mended(vehicle, teller(how["quiet"]))
    verdict = found.verdict if found else readiness(vehicle).verdict
    if how["as_json"]:
        click.echo(json.dumps(mend_plain(found, verdict), indent=1, ensure_ascii=False))
    else:
        write(mend_lines(found, us_units=vehicle.us_units, width=terminal_width()))
    if how["write"] and found and found.changes:
        written(sheet, found.changes)
    return exit_code(verdict)


@command.command("ballast")
@sheet_argument
@click.option("--item", required=True, help="Item of the sheet that may weigh more or less.")
@click.option(
    "--widths", type=click.FloatRange(min=0, min_open=True), help="Margin wanted (usual: the sheet's limit)."
)
@write_option
@json_option
@quiet_option
def ballast(sheet: Path, item: str, widths: float | None, **how: Any) -> int:
    """Least ballast with which the worst margin is enough at its bad end."""
    from finial.core.dimensions import Dimension
    from finial.core.units import show
    from finial.sizing.solve import ballast_for

    vehicle = loaded(sheet, how)
    sized = ballast_for(vehicle, item, _needed_m(vehicle, widths))
    return _told(sheet, vehicle, sized, (item, show(sized.value, Dimension.MASS, vehicle.us_units)), how)


@command.command("scale")
@sheet_argument
@click.option("--real", required=True, help='Height of the real thing, such as "32 m".')
@click.option("--from", "lowest", help="Lowest height of a model (usual: half of what is drawn).")
@click.option("--to", "highest", help="Highest height of a model (usual: twice what is drawn).")
@click.option("--steps", type=click.IntRange(1, 60), default=7, show_default=True, help="How many heights.")
@json_option
@quiet_option
def scale(sheet: Path, real: str, lowest: str | None, highest: str | None, steps: int, **how: bool) -> int:
    """One shape at many heights: mass, class of motor, pieces on the bed, hours, margin.

    A first look before anything is printed. Works for a sheet that is only begun.
    """
    import json

    from finial.findings.at_heights import scaling_wanted
    from finial.findings.check import load_begun
    from finial.report.scale_text import scale_lines, scale_plain
    from finial.report.terminal import terminal_width, write
    from finial.sizing.scale import USUAL_ENDS, heights, models_of

    tell = teller(how["quiet"])
    vehicle = load_begun(sheet, tell=tell)
    shape = scaling_wanted(vehicle)
    if shape.launch is not None:
        compile_flight(tell)
    ends = (
        _height(lowest, USUAL_ENDS[0] * shape.length_m),
        _height(highest, USUAL_ENDS[1] * shape.length_m),
    )
    models = models_of(shape, heights(ends, steps), _height(real, 0.0))
    if how["as_json"]:
        click.echo(json.dumps(scale_plain(shape, models), allow_nan=False, indent=1))
    else:
        write(scale_lines(shape, models, us_units=vehicle.us_units, width=terminal_width()))
    return 0


def _height(told: str | None, usual_m: float) -> float:
    from finial.core.units import Dimension, parse_quantity

    return usual_m if told is None else parse_quantity(told, Dimension.LENGTH, above=0.0).value


@command.command("rail")
@sheet_argument
@click.option("--wind", required=True, help='Strongest wind to leave the rail in, such as "8 m/s".')
@write_option
@json_option
@quiet_option
def rail(sheet: Path, wind: str, **how: Any) -> int:
    """Shortest rail for a wind: the slowest corner still leaves fast enough."""
    from finial.core.dimensions import Dimension
    from finial.core.units import parse_quantity, show
    from finial.findings.limits import Limits
    from finial.sizing.solve import rail_for

    vehicle = loaded(sheet, how)
    limits = Limits(own=vehicle.sheet.limits.own)
    blown = parse_quantity(wind, Dimension.SPEED, minimum=0.0).value
    speed = max(limits["rail_exit_speed"].value, limits["rail_exit_wind_ratio"].value * blown)
    sized = rail_for(vehicle, speed)
    return _told(sheet, vehicle, sized, ("rail", show(sized.value, Dimension.LENGTH, vehicle.us_units)), how)


@command.command("canopy")
@sheet_argument
@click.option("--canopy", "name", required=True, help="Canopy of the sheet.")
@click.option("--speed", required=True, help='Fastest landing wanted at the bad end, such as "5 m/s".')
@write_option
@json_option
@quiet_option
def canopy(sheet: Path, name: str, speed: str, **how: Any) -> int:
    """Smallest canopy for a landing speed."""
    from finial.core.dimensions import Dimension
    from finial.core.units import parse_quantity, show
    from finial.sizing.solve import canopy_for

    vehicle = loaded(sheet, how)
    sized = canopy_for(vehicle, name, parse_quantity(speed, Dimension.SPEED, above=0.0).value)
    return _told(sheet, vehicle, sized, (name, show(sized.value, Dimension.LENGTH, vehicle.us_units)), how)


@command.command("fins")
@sheet_argument
@click.option("--fin", required=True, help="Fin of the sheet to try other spans, places and counts of.")
@click.option("--item", required=True, help="Item that gives each the ballast it needs.")
@click.option(
    "--widths", type=click.FloatRange(min=0, min_open=True), help="Margin wanted (usual: the sheet's limit)."
)
@click.option("--count", "counts", type=click.IntRange(3, 12), multiple=True, help="Numbers of fins to try.")
@click.option(
    "--choose", type=click.IntRange(1), help="Number of the design to mark, and with --write to write."
)
@click.option(
    "--picture", type=click.Path(path_type=Path, dir_okay=False), help="SVG to draw the trade-off into."
)
@write_option
@json_option
@quiet_option
def fins(sheet: Path, fin: str, item: str, **how: Any) -> int:
    """Fins against ballast against apogee: the designs that no other beats."""
    import json

    from finial.files.write import write_atomically
    from finial.report.json_records import plain
    from finial.report.pictures.size_front import size_front
    from finial.report.size_text import trade_lines
    from finial.report.terminal import terminal_width, write
    from finial.sizing.trade import TradeAsked, fin_trade

    choose: int | None = how["choose"]
    vehicle = loaded(sheet, how)
    asked = TradeAsked(
        fin=fin, item=item, needed_m=_needed_m(vehicle, how["widths"]), counts=tuple(how["counts"])
    )
    tried = fin_trade(vehicle, asked, _counting(vehicle, asked, how["quiet"]))
    best = [one for one in tried if one.is_best]
    if choose is not None and choose > len(best):
        raise click.UsageError(f"--choose {choose}: there are {len(best)} designs on the front")
    if how["picture"]:
        drawn = size_front(tried, choose, us_units=vehicle.us_units)
        write_atomically(how["picture"], drawn.encode())
    if how["as_json"]:
        rows = [{**plain(one.look), "span": one.span, "station_m": one.station_m, "count": one.count,
                 "ballast_kg": one.ballast_kg, "is_best": one.is_best} for one in tried]  # fmt: skip
        click.echo(json.dumps(rows, indent=1))
    else:
        write(trade_lines(tried, us_units=vehicle.us_units, width=terminal_width()))
    if how["write"]:
        if choose is None:
            raise click.UsageError("--write needs --choose: which of the designs?")
        written(sheet, best[choose - 1].changes)
    return 0


def _needed_m(vehicle: "LoadedVehicle", widths: float | None) -> float:
    from finial.findings.limits import Limits

    skin = vehicle.skin
    if widths:
        return widths * skin.width_m
    return Limits(own=vehicle.sheet.limits.own).margin(skin.breadth_m, skin.length_m).value


def _told(
    sheet: Path, vehicle: "LoadedVehicle", sized: "Sized", named: tuple[str, str], how: dict[str, Any]
) -> int:
    import json

    from finial.report.json_records import plain
    from finial.report.size_text import sized_lines
    from finial.report.terminal import terminal_width, write

    if how["as_json"]:
        answer = {"what": named[0], "value": sized.value, **plain(sized.look)}
        click.echo(json.dumps(answer, indent=1, ensure_ascii=False))
    else:
        write(sized_lines(*named, sized, us_units=vehicle.us_units, width=terminal_width()))
    if how["write"]:
        written(sheet, sized.changes)
    return 0


def _counting(vehicle: "LoadedVehicle", asked: Any, quiet: bool) -> Any:
    from finial.sizing.trade import combinations

    tell, total = teller(quiet), combinations(vehicle, asked)

    def told(done: int) -> None:
        if done % 10 == 0 or done == total:
            tell(f"{done} of {total} fins")

    return told
