"""``finial size``: what to change, and by how much."""

from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from finial.cli.options import exit_code, json_option, quiet_option, sheet_argument, teller
from finial.core.cores import usable_cores
from finial.report.progress import compile_flight

if TYPE_CHECKING:
    from collections.abc import Callable, Generator, Sequence

    from finial.assemble.vehicle.changes import Changes
    from finial.assemble.vehicle.loading import LoadedVehicle
    from finial.campaign.as_meant import OddsWanted
    from finial.findings.design_judge import Motors
    from finial.sizing.found_front import FrontRow
    from finial.sizing.search import Found, Judge, Search
    from finial.sizing.solve import Sized

write_option = click.option(
    "--write", is_flag=True, help="Write the answer into the sheet; its comments stay."
)


@click.group("size")
def command() -> None:
    """Size one thing for one aim, trade several, or search for the lightest that goes."""


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

    vehicle = _loaded(sheet, how)
    found = mended(vehicle, teller(how["quiet"]))
    verdict = found.verdict if found else readiness(vehicle).verdict
    if how["as_json"]:
        click.echo(json.dumps(mend_plain(found, verdict), indent=1, ensure_ascii=False))
    else:
        write(mend_lines(found, us_units=vehicle.us_units, width=terminal_width()))
    if how["write"] and found and found.changes:
        _written(sheet, found.changes)
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

    vehicle = _loaded(sheet, how)
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

    vehicle = _loaded(sheet, how)
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

    vehicle = _loaded(sheet, how)
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
    vehicle = _loaded(sheet, how)
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
        _written(sheet, best[choose - 1].changes)
    return 0


@command.command("search")
@sheet_argument
@click.option(
    "--vary",
    "varied",
    multiple=True,
    required=True,
    metavar="KIND:NAME:LOW:HIGH",
    help='What may change: "ballast:steel ballast:0.5 kg:3 kg", "span:fins:0.7:1.3", '
    '"station:fins:800 mm:960 mm", "count:fins:3:5", "rail::2 m:6 m", "canopy:main:2 m:4 m"; shares of what '
    'the sheet has, "walls::0.8:1.5" (or of a piece that a joint parts, by the names of its parts) and '
    '"charge:bay:0.7:1.5"; "preload:M8:200 N:900 N"; one of several, "thread:M8:M6,M8,M10" and '
    '"motor:motors", a folder of motors beside the sheet.',
)
@click.option(
    "--aim",
    type=click.Choice(["lightest", "highest"]),
    default="lightest",
    show_default=True,
    help="What is sought; searches for either, in one folder, share what they judged and their front.",
)
@click.option(
    "--folder", type=click.Path(path_type=Path, file_okay=False), help="Where judged designs are noted."
)
@click.option("--generations", type=click.IntRange(1, 10_000), default=20, show_default=True)
@click.option("--seed", type=click.IntRange(0, 2**32 - 1), default=1, show_default=True)
@click.option("--cluster", metavar="tcp://HOST:PORT", help="Dask scheduler whose workers judge.")
@click.option(
    "--odds",
    metavar="SHARE",
    help='Least share of flights that come down as meant, such as "95%"; its lower bound counts.',
)
@click.option(
    "--flights",
    type=click.IntRange(20, 1_000_000),
    default=1000,
    show_default=True,
    help="Flights of each design that goes, for --odds.",
)
@click.option(
    "--choose", type=click.IntRange(1), help="Number of the design on the front to mark, and to --write."
)
@click.option(
    "--picture", type=click.Path(path_type=Path, dir_okay=False), help="SVG to draw the front into."
)
@click.option(
    "--csv", "table", type=click.Path(path_type=Path, dir_okay=False), help="CSV to write the front into."
)
@write_option
@json_option
@quiet_option
def search(sheet: Path, varied: tuple[str, ...], **how: Any) -> int:
    """Lightest or highest design that goes at the bad ends; stopped at any point, it goes on where it was.

    Designs that the judged ones foretell to be surely no better than those they would replace are left out.
    With --odds each design that goes is also flown many times, everything uncertain drawn anew for each
    flight, and only counts where enough of its flights come down under the open canopy, in the field,
    away from people and below the ceiling. Verdicts are those of the quick look: check a design whole before
    it is built.

    Told besides is the front of all designs judged, those that no other beats: lightest against highest, or
    with --odds what is sought against the odds.

    Exit codes: 0 when a go was found, 3 when not.
    """
    import json

    from finial.cli.vary_option import variables_of
    from finial.findings.design_judge import vehicle_hash
    from finial.report.search_text import judged_words, search_lines, search_plain
    from finial.report.shown import Shown
    from finial.report.terminal import terminal_width, write
    from finial.sizing.judged import Aim
    from finial.sizing.motors import motors_named
    from finial.sizing.search import Search, best_go
    from finial.sizing.variables import changing

    if how["cluster"] is not None:
        from finial.campaign.cluster import require_address

        require_address(how["cluster"])  # said before anything takes time
    wanted = _wanted(how)
    vehicle, tell = _loaded(sheet, how, many=wanted is not None), teller(how["quiet"])
    shown = Shown(us_units=vehicle.sheet.vehicle.us_units)
    variables = variables_of(varied, sheet.parent)
    motors = motors_named(variables, sheet.parent)
    asked = Search(
        variables=variables,
        generations=how["generations"],
        seed=how["seed"],
        about=f"{vehicle_hash(vehicle, motors)}{_told_odds(wanted)}",
        aim=Aim(how["aim"]),
    )
    notebook = (how["folder"] or sheet.with_name(f"{sheet.stem}-search")) / "judged.jsonl"

    def told(generation: int, _point: Any, judged: Any) -> None:
        tell(f"generation {generation} of {asked.generations}: {judged_words(judged, asked.aim, shown)}")

    written = changing(vehicle, variables)
    with _judges(vehicle, written, motors, how["cluster"], wanted) as judge:
        found = best_go(asked, judge, notebook, told)
    chosen = _on_front(found, how["choose"])
    if how["as_json"]:
        click.echo(json.dumps(search_plain(found, variables), indent=1, ensure_ascii=False))
    else:
        write(search_lines(found, asked, shown, width=terminal_width()))
    _drawn(found, asked, how, us_units=vehicle.us_units)
    if how["write"] and chosen.judged.is_go:
        _written(sheet, written(chosen.point))
    return 0 if found.judged.is_go else 3


def _on_front(found: "Found", number: int | None) -> "FrontRow | Found":
    """Return the design of a number on the front; without one, the best."""
    if number is None:
        return found
    if number > len(found.front):
        raise click.UsageError(f"--choose {number}: there are {len(found.front)} designs on the front")
    return found.front[number - 1]


def _drawn(found: "Found", asked: "Search", how: dict[str, Any], *, us_units: bool) -> None:
    """Write the front's picture and table where they are asked for."""
    from finial.files.write import write_atomically
    from finial.report.pictures.search_front import search_front
    from finial.report.search_text import front_csv

    if how["picture"]:
        drawn = search_front(found.front, asked.aim, how["choose"], us_units=us_units)
        write_atomically(how["picture"], drawn.encode())
    if how["table"]:
        write_atomically(how["table"], front_csv(found.front, asked.variables).encode())


@contextmanager
def _judges(
    vehicle: "LoadedVehicle",
    written: "Callable[[Sequence[float]], Changes]",
    motors: "Motors",
    cluster: str | None,
    wanted: "OddsWanted | None",
) -> "Generator[Judge, None, None]":
    """Judge here, or on a scheduler's workers while the search lasts."""
    from functools import partial

    from finial.findings.design_judge import judge_design, judge_with_odds, judged_with_odds

    alone = partial(judge_design, motors=motors)
    judge_one = alone if wanted is None else partial(judge_with_odds, motors=motors, wanted=wanted)
    if cluster is None:
        if wanted is None:
            yield lambda points: (judge_one(vehicle, written(point)) for point in points)
        else:
            in_turn = partial(judged_with_odds, vehicle, motors=motors, wanted=wanted)
            yield lambda points: in_turn(map(written, points))
        return
    from finial.campaign.cluster import Helpers

    helpers = Helpers(cluster, judge_one, vehicle)
    try:
        yield lambda points: helpers.answers(map(written, points))
    finally:
        helpers.close()


def _wanted(how: dict[str, Any]) -> "OddsWanted | None":
    """Read --odds; a worker of a cluster flies on one thread, as it judges one design of several."""
    if how["odds"] is None:
        return None

    from finial.campaign.as_meant import OddsWanted
    from finial.core.dimensions import Dimension
    from finial.core.units import parse_quantity

    share = parse_quantity(how["odds"], Dimension.RATIO, above=0.0).value
    if share >= 1.0:
        raise click.UsageError(f"--odds {how['odds']}: accepted is less than 100 %, flights prove no more")
    threads = 1 if how["cluster"] is not None else usable_cores()
    return OddsWanted(share=share, flights=how["flights"], threads=threads)


def _told_odds(wanted: "OddsWanted | None") -> str:
    """Odds change what a design comes to, so that searches with others are not the same search."""
    return "" if wanted is None else f" odds {wanted.share} of {wanted.flights} from {wanted.seed}"


def _loaded(sheet: Path, how: dict[str, Any], *, many: bool = False) -> "LoadedVehicle":
    from finial.findings.check import load

    tell = teller(how["quiet"])
    vehicle = load(sheet, tell=tell)
    for of_many in (False, True) if many else (False,):
        compile_flight(tell, many=of_many)
    tell("sizing")
    return vehicle


def _needed_m(vehicle: "LoadedVehicle", widths: float | None) -> float:
    from finial.findings.limits import Limits

    skin = vehicle.skin
    if widths:
        return widths * skin.width_m
    return Limits(own=vehicle.sheet.limits.own).margin(skin.width_m, skin.length_m).value


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
        _written(sheet, sized.changes)
    return 0


def _written(sheet: Path, changes: "Changes") -> None:
    from finial.files.edit import set_values

    set_values(sheet, changes)
    click.echo(f"written to {sheet}", err=True)


def _counting(vehicle: "LoadedVehicle", asked: Any, quiet: bool) -> Any:
    from finial.sizing.trade import combinations

    tell, total = teller(quiet), combinations(vehicle, asked)

    def told(done: int) -> None:
        if done % 10 == 0 or done == total:
            tell(f"{done} of {total} fins")

    return told
