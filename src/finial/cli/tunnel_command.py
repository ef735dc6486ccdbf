"""``finial tunnel``: the flow round the very shape, as a study that can be stopped and resumed."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from finial.cli.options import json_option, quiet_option, sheet_argument, teller
from finial.cli.progress import bar
from finial.cli.view import plots_option

if TYPE_CHECKING:
    from finial.assemble.air.results import TunnelBeside
    from finial.assemble.vehicle.loading import LoadedVehicle
    from finial.tunnel_study.plan import Cost, StudyAsked, StudyPlan
    from finial.tunnel_study.run import Failed, Studied

_MISSING = 4


@click.command("tunnel")
@sheet_argument
@click.option(
    "--angle",
    "angles_deg",
    type=click.FloatRange(0.0, 180.0),
    multiple=True,
    help="Angle of attack in degrees; give it again for more (default: 0, 5, 10, 15).",
)
@click.option(
    "--roll",
    "rolls_deg",
    type=click.FloatRange(0.0, 360.0, max_open=True),
    multiple=True,
    help="Roll that the cross wind blows to, in degrees; again for more (default: by the shape's symmetry).",
)
@click.option(
    "--cells",
    type=click.FloatRange(6.0, 200.0),
    default=16.0,
    show_default=True,
    help="Cells to a width of the fine grid; every run is blown on 1.5 times fewer as well.",
)
@click.option(
    "--grids", type=click.IntRange(1, 4), default=3, show_default=True, help="Grids nested in one another."
)
@click.option(
    "--travel",
    type=click.FloatRange(1.0, 1000.0),
    default=24.0,
    show_default=True,
    help="Widths of travel that are averaged; as many again, nearly, settle before.",
)
@click.option(
    "--eddies",
    type=click.Choice(["smagorinsky", "vreman"]),
    default="smagorinsky",
    show_default=True,
    help="Whose model tells the friction of eddies smaller than a cell.",
)
@click.option(
    "--conserving",
    is_flag=True,
    help="Let air and momentum pass between nested grids without loss; takes up to a third longer.",
)
@click.option(
    "--variant",
    "variants",
    multiple=True,
    metavar="NAME",
    help="The same of a variant that the page keeps beside the sheet; again for more. They are ranked.",
)
@click.option("--bare", is_flag=True, help="The same without the sheet's fins as well.")
@click.option(
    "--card",
    "cards",
    type=click.IntRange(0, 63),
    multiple=True,
    help="Graphics card, counted from 0; again for more, one run on each.",
)
@click.option("--every-card", is_flag=True, help="All graphics cards of this machine.")
@click.option("--cluster", metavar="tcp://HOST:PORT", help="Dask scheduler whose workers blow, a run each.")
@click.option("--plan", "only_plan", is_flag=True, help="Say what it would cost, and blow nothing.")
@click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False),
    help="Where runs are kept; run again to go on (default: <sheet>-tunnel beside the sheet).",
)
@json_option
@plots_option
@quiet_option
def command(sheet: Path, as_json: bool, plots: Path | None, quiet: bool, **chosen: Any) -> int:
    """Blow at the vehicle of the build SHEET: force, centre of pressure and drag of its very shape.

    What it costs is told before it starts. Stopped at any point, the same command goes on with the runs that
    are missing; several processes may work on one folder. A sheet flies with what was read once it names it:
    [air] study = "<sheet>-tunnel/runs.json".

    Exit codes: 0 all runs are kept, 4 some are missing, 2 wrong input.
    """
    from finial.files.tunnel_runs import own_folder
    from finial.findings.check import load
    from finial.report.terminal import terminal_width, write
    from finial.report.tunnel_text import WHOLE, plan_lines
    from finial.tunnel_study.plan import planned, together

    tell = teller(quiet)
    vehicle = load(sheet, tell=tell)
    others = _variants(vehicle, sheet, chosen["variants"])
    asked = _asked(chosen)
    plan = together([planned(vehicle, asked), *(planned(one, asked, name) for name, one in others.items())])
    folder = chosen["folder"] or own_folder(sheet)
    ready = _made_ready(plan, folder, chosen, tell)
    if not as_json:
        write(plan_lines(plan, ready.cost, ready.per_second, ready.kept, width=terminal_width()))
    if chosen["only_plan"]:
        if as_json:
            _print_json(plan, ready, {}, ())
        return 0
    studied = _studied(plan, folder, ready, own_folder=chosen["folder"] is None, quiet=quiet)
    read = _read(vehicle, plan, folder) | _read_variants(others, folder)
    if as_json:
        _print_json(plan, ready, read, studied.failed)
    else:
        _print_text(vehicle, read, studied)
    if plots:
        _draw(vehicle, plan, read[WHOLE], (folder, plots))
        tell(f"plots written to {plots}")
    tell(f"runs are kept in {folder}; a sheet names {studied.runs_file.name} in it: [air] study")
    return 0 if studied.done == len(plan.runs) else _MISSING


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ready:
    """Where the runs that are left will be blown, and what they take."""

    cards: "tuple[int | None, ...]"
    cluster: str | None
    cost: "Cost"
    per_second: float | None
    kept: int


def _asked(chosen: dict[str, Any]) -> "StudyAsked":
    from finial.tunnel.records import Fineness
    from finial.tunnel_study.plan import USUAL_ANGLES_RAD, StudyAsked

    return StudyAsked(
        angles_rad=tuple(map(math.radians, chosen["angles_deg"])) or USUAL_ANGLES_RAD,
        rolls_rad=tuple(map(math.radians, chosen["rolls_deg"])) or None,
        fineness=Fineness(
            cells=chosen["cells"],
            grids=chosen["grids"],
            travel_widths=chosen["travel"],
            eddies=chosen["eddies"],
            conserving=chosen["conserving"],
        ),
        bare=chosen["bare"],
    )


def _made_ready(
    plan: "StudyPlan", folder: Path, chosen: dict[str, Any], tell: "Callable[[str], None]"
) -> _Ready:
    """Find the machines, refuse what fits none of them, and measure how fast they are."""
    from finial.tunnel.run import blow
    from finial.tunnel_study.machines import cards_to_use, measured_speed, refuse_too_large
    from finial.tunnel_study.plan import cost_of
    from finial.tunnel_study.store import kept_keys

    cluster = chosen["cluster"]
    if cluster is not None:
        _refuse_beside_a_cluster(chosen)
    cards = cards_to_use(chosen["cards"], every=chosen["every_card"], tell=tell)
    kept = kept_keys(folder)
    left = [run for run in plan.runs if run.key not in kept]
    per_second = None
    if left and cluster is None:
        refuse_too_large(left, cards)
        tell("measuring how fast this machine is; the first time it compiles, a minute or so")
        per_second = measured_speed(blow, cards[0]) * len(cards)
    return _Ready(
        cards=cards,
        cluster=cluster,
        cost=cost_of(left),
        per_second=per_second,
        kept=len(plan.runs) - len(left),
    )


def _refuse_beside_a_cluster(chosen: dict[str, Any]) -> None:
    from finial.campaign.cluster import require_address

    if chosen["cards"] or chosen["every_card"]:
        raise click.UsageError("--cluster and cards: give one of them")
    require_address(chosen["cluster"])


def _studied(plan: "StudyPlan", folder: Path, ready: _Ready, *, own_folder: bool, quiet: bool) -> "Studied":
    from finial.files.write import make_folder
    from finial.tunnel.run import blow
    from finial.tunnel_study.elsewhere import run_elsewhere
    from finial.tunnel_study.run import run_study

    if own_folder:
        make_folder(folder, folder.parent)
    with bar("tunnel", 1.0, quiet=quiet) as told:
        if ready.cluster is not None:
            return run_elsewhere(plan, folder, ready.cluster, told=told)
        return run_study(plan, folder, blow, cards=ready.cards, told=told)


def _read(vehicle: "LoadedVehicle", plan: "StudyPlan", folder: Path) -> "dict[str, TunnelBeside]":
    """Read what the runs of the plan's shapes say, by variant."""
    from finial.files.tunnel_runs import read_tunnel_runs
    from finial.report.tunnel_text import BARE, WHOLE
    from finial.tunnel_study.beside import beside_sections
    from finial.tunnel_study.store import RUNS

    runs = read_tunnel_runs(folder / RUNS)
    variants = {BARE if run.bare else WHOLE: run.bare for run in plan.runs}
    return {name: beside_sections(vehicle, runs, bare=bare) for name, bare in sorted(variants.items())}


def _variants(vehicle: "LoadedVehicle", sheet: Path, names: tuple[str, ...]) -> "dict[str, LoadedVehicle]":
    """Read the sheet with what each named variant changes of it."""
    from finial.assemble.vehicle.changes import reread
    from finial.files.typed import typed_changes
    from finial.files.variants import Variants
    from finial.findings.range_stage import codes_of

    kept = Variants.of_sheet(sheet)
    changes = {name: typed_changes(sheet, kept.named(name).change) for name in names}
    return {name: reread(vehicle, change, codes_of) for name, change in changes.items()}


def _read_variants(others: "dict[str, LoadedVehicle]", folder: Path) -> "dict[str, TunnelBeside]":
    from finial.files.tunnel_runs import read_tunnel_runs
    from finial.report.tunnel_text import VARIANT
    from finial.tunnel_study.beside import beside_sections
    from finial.tunnel_study.store import RUNS

    runs = read_tunnel_runs(folder / RUNS) if others else ()
    return {f"{VARIANT}{name}": beside_sections(one, runs) for name, one in others.items()}


def _print_text(vehicle: "LoadedVehicle", read: "dict[str, TunnelBeside]", studied: "Studied") -> None:
    from finial.report.terminal import terminal_width, write
    from finial.report.tunnel_text import study_lines

    write(study_lines(read, studied, us_units=vehicle.us_units, width=terminal_width()))


def _print_json(
    plan: "StudyPlan", ready: _Ready, read: "dict[str, TunnelBeside]", failed: "tuple[Failed, ...]"
) -> None:
    from finial.report.tunnel_json import study_to_json

    click.echo(study_to_json(plan, (ready.cost, ready.per_second), read, failed))


def _draw(
    vehicle: "LoadedVehicle", plan: "StudyPlan", beside: "TunnelBeside", folders: tuple[Path, Path]
) -> None:
    """Draw what lies in the first folder into the second."""
    from finial.files.write import write_atomically
    from finial.report.pictures.tunnel_pictures import tunnel_pictures, tunnel_tables
    from finial.tunnel_study.store import read_kept

    folder, plots = folders
    plots.mkdir(parents=True, exist_ok=True)
    kept = read_kept(folder, {run.key for run in plan.runs})
    pictures = tunnel_pictures(vehicle.skin, kept, beside, us_units=vehicle.us_units)
    for name, text in (pictures | tunnel_tables(kept, us_units=vehicle.us_units)).items():
        write_atomically(plots / name, text.encode())
