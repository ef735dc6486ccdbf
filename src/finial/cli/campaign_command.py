"""``finial campaign``: many flights, and what they say together."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from finial.cli.options import exit_code, json_option, quiet_option, sheet_argument, teller
from finial.cli.progress import bar
from finial.core.cores import usable_cores
from finial.report.progress import added_up, compile_flight

if TYPE_CHECKING:
    from finial.assemble.spread.case import FlightCase
    from finial.campaign.campaign import Campaign
    from finial.campaign.rare import RareOdds
    from finial.campaign.run import Workers
    from finial.campaign.spot import Spot
    from finial.campaign.store import Store


@click.command("campaign")
@sheet_argument
@click.option(
    "--flights", type=click.IntRange(1, 100_000_000), default=1000, show_default=True, help="How many."
)
@click.option(
    "--seed", type=click.IntRange(0, 2**63 - 1), default=1, show_default=True, help="Of all chance."
)
@click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False),
    help="Where flights are kept; run again to go on (default: <sheet>-campaign beside the sheet).",
)
@click.option(
    "--design",
    type=click.Choice(["plain", "latin", "sobol"]),
    default="plain",
    show_default=True,
    help="Plain flights have bounds on their odds; the others know means better with fewer flights.",
)
@click.option("--threads", type=click.IntRange(1, 1024), help="Threads to fly on (default: all cores).")
@click.option("--processes", type=click.IntRange(1, 1024), help="Processes instead of threads.")
@click.option("--cluster", metavar="tcp://HOST:PORT", help="Dask scheduler whose workers fly.")
@click.option("--gpu", is_flag=True, help="Fly on every graphics card; without one, on threads.")
@click.option(
    "--chunk", type=click.IntRange(1, 1_000_000), help="Flights in one file (default: 1000; 100000 on cards)."
)
@click.option(
    "--rare", is_flag=True, help="Odds too small to count as well: up to 20,000 more flights for each."
)
@click.option(
    "--tracks",
    type=click.IntRange(1, 500),
    help="Fly the first so many again, draw them, and keep each time history as CSV.",
)
@json_option
@quiet_option
def command(sheet: Path, as_json: bool, quiet: bool, **chosen: Any) -> int:
    """Fly the vehicle of the build SHEET many times, everything uncertain drawn anew for each flight.

    Stopped at any point, the same command goes on where it was, and ends with the same numbers.
    The verdict stays that of the whole check: odds do not lift it.

    Exit codes: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.assemble.spread.case import flight_case
    from finial.campaign.answers import campaign_answer
    from finial.campaign.extra import needed
    from finial.campaign.flown import read_flown
    from finial.campaign.spot import spot_of
    from finial.files.own_campaign import own_campaign
    from finial.files.write import make_folder, write_atomically
    from finial.findings.check import load
    from finial.findings.kept_check import kept_check
    from finial.findings.readiness import Depth
    from finial.report.campaign_files import campaign_files
    from finial.report.campaign_json import campaign_to_json
    from finial.report.campaign_text import campaign_lines
    from finial.report.terminal import terminal_width, write
    from finial.report.text import verdict_lines

    _refuse_two(chosen)
    for library in ("pyarrow", "duckdb"):
        needed(library)  # said before anything takes time
    tell = teller(quiet)
    vehicle = load(sheet, tell=tell)
    compile_flight(tell, many=not chosen["gpu"])
    case = flight_case(vehicle)
    flights, folder = chosen["flights"], chosen["folder"] or own_campaign(sheet)
    if chosen["folder"] is None:
        make_folder(folder, sheet.parent)
    store = _flown(case, folder, chosen, tell, quiet=quiet)
    flown, spot = read_flown(folder, flights), spot_of(case)
    answer = campaign_answer(flown, spot, _rare(store, spot, chosen, tell) if chosen["rare"] else ())
    for name, text in campaign_files(
        case.name, flown, answer, spot, case.pad_rad, us_units=case.us_units
    ).items():
        write_atomically(folder / name, text.encode())
    if chosen["tracks"]:
        canopies = tuple(canopy.name for canopy in case.inputs.canopies)
        _keep_tracks(store.campaign, canopies, folder, min(chosen["tracks"], flights), case.us_units)
    checked = kept_check(sheet, Depth.WHOLE, tell)
    if as_json:
        click.echo(campaign_to_json(case.name, answer, checked))
    else:
        width = terminal_width()
        odds = campaign_lines(case.name, answer, us_units=case.us_units, width=width)
        write((*verdict_lines(checked, width=width), *odds))
    tell(f"flights, pictures and maps are in {folder}")
    return exit_code(checked.verdict)


def _flown(
    case: "FlightCase", folder: Path, chosen: dict[str, Any], tell: "Callable[[str], None]", *, quiet: bool
) -> "Store":
    """Fly what the folder does not hold yet, on what was asked for."""
    from finial.campaign.campaign import planned
    from finial.campaign.run import CHUNK, kept_flights, run_campaign

    flights = chosen["flights"]
    campaign = planned(
        case.name, case.inputs, case.spread, flights=flights, seed=chosen["seed"], design=chosen["design"]
    )
    # Cards have flown it all before the processor were ready to try.
    campaign, workers, usual = _cards(campaign, tell) if chosen["gpu"] else (campaign, None, CHUNK)
    campaign = campaign if chosen["gpu"] else _stepped(campaign, folder, tell)
    workers = workers or _workers(chosen, tell)
    kept, chunk = kept_flights(folder, flights), chosen["chunk"] or usual
    with bar("flights", flights, quiet=quiet, done=kept, rate=True) as reached:
        return run_campaign(campaign, folder, workers, chunk=chunk, told=added_up(reached, kept))


def _stepped(campaign: "Campaign", folder: Path, tell: "Callable[[str], None]") -> "Campaign":
    """As coarse as the scatter allows; a folder that holds flights goes on with its own steps."""
    from finial.campaign.run import kept_flights
    from finial.campaign.stepping import as_coarse_as_may_be

    if kept_flights(folder, campaign.flights):
        return campaign
    found = as_coarse_as_may_be(campaign)
    if found.worst is not None:
        tell(
            f"steps as coarse as the scatter allows ({found.tolerance:g}): "
            f"the error of no result is more than {100 * found.worst:.0f} % of its scatter"
        )
    return found.campaign


def _rare(
    store: "Store", spot: "Spot", chosen: dict[str, Any], tell: "Callable[[str], None]"
) -> "tuple[RareOdds, ...]":

    from finial.campaign.rare import MOST_FLIGHTS, rare_odds

    compile_flight(tell, many=True)
    tell(f"leading flights towards what is feared; at most {MOST_FLIGHTS} for each")
    return rare_odds(store.campaign, spot, threads=chosen["threads"] or usable_cores())


def _keep_tracks(
    campaign: "Campaign", canopies: tuple[str, ...], folder: Path, count: int, us_units: bool
) -> None:
    from finial.campaign.campaign import fly_traced
    from finial.files.write import make_folder, write_atomically
    from finial.report.pictures.campaign_tracks import campaign_tracks
    from finial.report.trace_csv import trace_csv

    traces = tuple(fly_traced(campaign, number, canopies) for number in range(count))
    make_folder(folder / "tracks", folder)
    for number, trace in enumerate(traces):
        write_atomically(folder / "tracks" / f"flight-{number:09d}.csv", trace_csv(trace).encode())
    write_atomically(folder / "tracks.svg", campaign_tracks(traces, us_units=us_units).encode())


def _refuse_two(chosen: dict[str, Any]) -> None:
    given = [f"--{one}" for one in ("cluster", "processes", "gpu") if chosen[one] not in (None, False)]
    if len(given) > 1:
        raise click.UsageError(f"{' and '.join(given)}: give one of them")
    if chosen["cluster"] is not None:
        from finial.campaign.cluster import require_address

        require_address(chosen["cluster"])


def _cards(campaign: "Campaign", tell: "Callable[[str], None]") -> "tuple[Campaign, Workers | None, int]":
    """Cards and their usual chunk; no workers, and why, where cards cannot fly it."""
    from finial.campaign.cards import CHUNK, on_cards
    from finial.campaign.run import CHUNK as OF_THREADS
    from finial.core.errors import MissingData, OutsideRange

    try:
        theirs, cards = on_cards(campaign)
    except (MissingData, OutsideRange) as error:
        tell(f"{error}: flying on the processor instead")
        return campaign, None, OF_THREADS
    tell(
        f"{cards.count} x {theirs.rounding}; the first time on this machine the flight is compiled for it, "
        "half a minute or so"
    )
    return theirs, cards, CHUNK


def _workers(chosen: dict[str, Any], tell: "Callable[[str], None]") -> "Workers":

    from finial.campaign.run import Threads

    compile_flight(tell, many=True)
    if chosen["cluster"] is not None:
        from finial.campaign.cluster import Cluster

        return Cluster(chosen["cluster"])
    if chosen["processes"]:
        from finial.campaign.processes import Processes

        return Processes(chosen["processes"])
    return Threads(chosen["threads"] or usable_cores())
