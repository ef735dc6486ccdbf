"""``finial size search``: the lightest or highest design that goes, over several things at once."""

from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from finial.cli.options import exit_code, json_option, quiet_option, sheet_argument, teller
from finial.cli.sized import loaded, write_option, written
from finial.core.cores import usable_cores

if TYPE_CHECKING:
    from collections.abc import Generator, Sequence

    from finial.assemble.vehicle.changes import Changes
    from finial.assemble.vehicle.loading import LoadedVehicle
    from finial.campaign.as_meant import OddsWanted
    from finial.findings.design_judge import Motors
    from finial.findings.design_whole import Confirmed
    from finial.sizing.found_front import FrontRow
    from finial.sizing.search import Found, Judge, Search


@click.command("search")
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
@click.option("--gpu", is_flag=True, help="Fly for --odds on a graphics card; without one, on threads.")
@click.option(
    "--looks",
    type=click.IntRange(0, 1000),
    default=40,
    show_default=True,
    help="Whole looks that may be taken: at the best, at the next best where it does not go, at the front.",
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
def command(sheet: Path, varied: tuple[str, ...], **how: Any) -> int:
    """Lightest or highest design that goes at the bad ends; stopped at any point, it goes on where it was.

    Designs that the judged ones foretell to be surely no better than those they would replace are left out;
    how far off that was, where designs were judged all the same, is told.
    With --odds each design that goes is also flown many times, everything uncertain drawn anew for each
    flight, and only counts where enough of its flights come down under the open canopy, in the field,
    away from people and below the ceiling.

    The search judges by the quick look, which never says go by itself. At the best design, and at each of
    the front, the whole look is taken then; where that is not go the next best is tried, and it is said.

    Told besides is the front of all designs judged, those that no other beats: lightest against highest, or
    with --odds what is sought against the odds.

    Exit codes: those of the verdict of the whole look at the best design; 3 where none goes by the quick one.
    """
    import json
    from functools import partial

    from finial.cli.vary_option import variables_of
    from finial.findings.design_judge import about_search
    from finial.findings.design_whole import confirmed, whole_verdict
    from finial.report.search_text import judged_words, search_lines, search_plain
    from finial.report.shown import Shown
    from finial.report.terminal import terminal_width, write
    from finial.sizing.judged import Aim
    from finial.sizing.motors import motors_named
    from finial.sizing.search import Search, best_go
    from finial.sizing.today import today
    from finial.sizing.variables import changing

    _refuse_apart(how)
    tell, wanted = teller(how["quiet"]), _wanted(how)
    vehicle = loaded(sheet, how, many=wanted is not None)
    wanted, rounding = _on_cards(vehicle, wanted, tell) if how["gpu"] and wanted else (wanted, "")
    shown = Shown(us_units=vehicle.sheet.vehicle.us_units)
    variables = variables_of(varied, sheet.parent)
    motors = motors_named(variables, sheet.parent)
    asked = Search(
        variables=variables,
        generations=how["generations"],
        seed=how["seed"],
        about=about_search(vehicle, motors, wanted, rounding),
        aim=Aim(how["aim"]),
        start=today(vehicle, variables),
    )
    notebook = (how["folder"] or sheet.with_name(f"{sheet.stem}-search")) / "judged.jsonl"

    def told(generation: int, _point: Any, judged: Any) -> None:
        tell(f"generation {generation} of {asked.generations}: {judged_words(judged, asked.aim, shown)}")

    at = changing(vehicle, variables)
    with _judges(vehicle, at, motors, how["cluster"], wanted) as judge:
        found = best_go(asked, judge, notebook, told)
    tell("looking at the best of them whole")
    look = partial(whole_verdict, vehicle, motors=motors)
    whole = confirmed(found, asked.aim, lambda point: look(at(point)), how["looks"])
    chosen = _on_front(found, whole, how["choose"])
    if how["as_json"]:
        click.echo(json.dumps(search_plain(found, whole, asked), indent=1, ensure_ascii=False))
    else:
        write(search_lines(found, whole, asked, shown, width=terminal_width()))
    _drawn(found, whole, asked, how, us_units=vehicle.us_units)
    if how["write"] and whole.goes(chosen):
        written(sheet, at(chosen.point))
    elif how["write"]:
        click.echo("nothing written: it does not go by the whole look", err=True)
    return exit_code(whole.verdict)


def _refuse_apart(how: dict[str, Any]) -> None:
    """Refuse what cannot go together before anything takes time."""
    if how["gpu"] and how["odds"] is None:
        raise click.UsageError("--gpu flies for --odds: give --odds too")
    if how["gpu"] and how["cluster"] is not None:
        raise click.UsageError("--cluster and --gpu: give one of them")
    if how["cluster"] is not None:
        from finial.campaign.cluster import require_address

        require_address(how["cluster"])


def _on_front(found: "Found", whole: "Confirmed", number: int | None) -> "FrontRow":
    """Return the design of a number on the front; without one, the best."""
    if number is None:
        return whole.best
    if number > len(found.front):
        raise click.UsageError(f"--choose {number}: there are {len(found.front)} designs on the front")
    return found.front[number - 1]


def _drawn(
    found: "Found", whole: "Confirmed", asked: "Search", how: dict[str, Any], *, us_units: bool
) -> None:
    """Write the front's picture and table where they are asked for."""
    from finial.files.write import write_atomically
    from finial.report.pictures.search_front import search_front
    from finial.report.search_text import front_csv

    if how["picture"]:
        drawn = search_front(found.front, asked.aim, whole.goes, how["choose"], us_units=us_units)
        write_atomically(how["picture"], drawn.encode())
    if how["table"]:
        write_atomically(how["table"], front_csv(found, whole, asked).encode())


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

    from finial.findings.design_judge import judge_design, judge_with_odds, judging

    if cluster is None:
        yield judging(vehicle, written, motors, wanted)
        return
    from finial.campaign.cluster import Helpers

    alone = partial(judge_design, motors=motors)
    judge_one = alone if wanted is None else partial(judge_with_odds, motors=motors, wanted=wanted)
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


def _on_cards(
    vehicle: "LoadedVehicle", wanted: "OddsWanted", tell: Callable[[str], None]
) -> "tuple[OddsWanted, str]":
    """Let cards fly for the odds, and say what rounds there; on threads as before, and why, without one."""
    from dataclasses import replace

    from finial.assemble.spread.case import flight_case
    from finial.campaign.as_meant import planned_for
    from finial.campaign.cards import on_cards
    from finial.core.errors import MissingData, OutsideRange

    try:
        theirs, cards = on_cards(planned_for(flight_case(vehicle), wanted))
    except (MissingData, OutsideRange) as error:
        tell(f"{error}: flying on the processor instead")
        return wanted, ""
    tell(f"{cards.count} x {theirs.rounding}")
    return replace(wanted, cards=True), theirs.rounding
