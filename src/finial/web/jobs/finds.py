"""What each kind of job does: the library's own calls, with word of how far they came.

Libraries are imported inside: the server lists jobs without them.
"""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from finial.core.cores import usable_cores
from finial.core.errors import MissingData
from finial.report.document import ReportSection, Table
from finial.report.progress import added_up, compile_flight
from finial.report.shown import Shown
from finial.report.words import counted
from finial.web.desk import Desk
from finial.web.jobs.asked import DESIGNS, FLIGHTS
from finial.web.jobs.records import Outcome, TryRow

if TYPE_CHECKING:
    from finial.assemble.vehicle.changes import Changes
    from finial.assemble.vehicle.loading import LoadedVehicle
    from finial.campaign.campaign import Campaign
    from finial.campaign.rare import RareOdds
    from finial.campaign.spot import Spot
    from finial.findings.finding import Finding
    from finial.sizing.trade import Tried
    from finial.sizing.variables import Variable

_MOST_TRIES = 8
_SPAN_ENDS = (0.7, 1.3)
_MOST_OF_BALLAST = 2.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What a job is given: vehicle, what is tried on it, settings, a folder to keep things in, a teller."""

    vehicle: "LoadedVehicle"
    changes: "Changes"
    """What was tried: the vehicle has it already."""
    settings: Mapping[str, int]
    folder: Path
    note: Callable[[str], None]
    share: Callable[[float], None]

    @property
    def shown(self) -> Shown:
        """The builder's units."""
        return Shown(us_units=self.vehicle.us_units)

    def tries(self, label: str, changes: "Changes") -> tuple[TryRow, ...]:
        """Return the changes as they would be typed; nothing where the sheet has no field for one."""
        typed = Desk(path=self.vehicle.files.path, refuse=lambda _changes: None).typed_as_there(changes)
        return (TryRow(label=label, change=typed),) if typed else ()


def look(work: Work) -> Outcome:
    """Answer by every look."""
    from finial.findings.kept_check import trial_looked_at
    from finial.report.album import pictures
    from finial.report.pictures.recovery_pictures import recovery_pictures
    from finial.report.pictures.strength_pictures import strength_pictures
    from finial.report.recovery_text import recovery_sections
    from finial.report.strength_text import strength_sections
    from finial.report.words import answer

    compile_flight(work.note)
    found = trial_looked_at(work.vehicle, work.changes, work.note)
    drawn = {**pictures(found), **_stems(strength_pictures(found)), **_stems(recovery_pictures(found))}
    findings = Table(
        title="",
        columns=("verdict", "what", "value", "limit", "to mend it"),
        rows=tuple(_finding_rows(found.findings, work.shown)),
    )
    return Outcome(
        headline=answer(found),
        sections=(
            ReportSection(key="findings", title="Findings that are not go", tables=(findings,)),
            *strength_sections(found),
            *recovery_sections(found),
        ),
        pictures=drawn,
    )


def campaign(work: Work) -> Outcome:
    """Fly many times; what was flown is kept in the job's folder, so that it can be gone on with."""
    from finial.assemble.spread.case import flight_case
    from finial.campaign.answers import campaign_answer
    from finial.campaign.campaign import planned
    from finial.campaign.extra import needed
    from finial.campaign.flown import read_flown
    from finial.campaign.run import Threads, kept_flights, run_campaign
    from finial.campaign.spot import spot_of
    from finial.campaign.stepping import as_coarse_as_may_be
    from finial.report.campaign_files import campaign_files
    from finial.report.campaign_text import campaign_sections
    from finial.report.campaign_words import headline

    for library in ("pyarrow", "duckdb"):
        needed(library)
    compile_flight(work.note, many=True)
    flights, folder = work.settings["flights"], work.folder / FLIGHTS
    case = flight_case(work.vehicle)
    usual = planned(case.name, case.inputs, case.spread, flights=flights, seed=work.settings["seed"])
    asked = as_coarse_as_may_be(usual).campaign
    done = kept_flights(folder, flights)
    work.note("flying")
    work.share(done / flights)

    def reached(by_now: float) -> None:
        work.note(f"{by_now:,.0f} of {flights:,} flights")
        work.share(by_now / flights)

    chunk = max(50, min(1000, flights // 20))
    run_campaign(asked, folder, Threads(usable_cores()), chunk=chunk, told=added_up(reached, done))
    flown, spot = read_flown(folder, flights), spot_of(case)
    answer = campaign_answer(flown, spot, _rare(work, asked, spot) if work.settings.get("rare") else ())
    files = campaign_files(case.name, flown, answer, spot, case.pad_rad, us_units=case.us_units)
    return Outcome(
        headline=headline(answer),
        sections=campaign_sections(answer, work.shown),
        pictures=_stems({name: text for name, text in files.items() if name.endswith(".svg")}),
    )


def _rare(work: Work, flown: "Campaign", spot: "Spot") -> "tuple[RareOdds, ...]":
    from finial.campaign.rare import rare_odds

    work.note("leading flights towards what is feared")
    return rare_odds(flown, spot, threads=usable_cores())


def field(work: Work) -> Outcome:
    """Fly for the map of the day: with canopies and without, what lies there, which lean, which wind."""
    from finial.findings.check import readiness
    from finial.findings.field_map import field_map
    from finial.findings.readiness import Depth
    from finial.report.field_map_text import field_map_sections, walk_facts
    from finial.report.pictures.field_map import field_map_picture

    compile_flight(work.note, many=True)
    found = field_map(
        work.vehicle,
        readiness(work.vehicle, depth=Depth.QUICK).range_safety,
        flights=work.settings["flights"],
        seed=work.settings["seed"],
        threads=usable_cores(),
        tell=work.note,
    )
    label, value = next(walk_facts(found.drawn, work.shown))
    return Outcome(
        headline=f"{label.capitalize()}: {value}.",
        sections=field_map_sections(found),
        pictures={"field-of-the-day": field_map_picture(found.drawn)},
    )


def mend(work: Work) -> Outcome:
    """Search for the smallest set of changes that mends what fails."""
    from finial.findings.mending import mend as mended
    from finial.report.size_text import mend_section

    compile_flight(work.note)
    found = mended(work.vehicle, work.note)
    section = mend_section(found, work.shown)
    tries = work.tries("all of it", found.changes) if found and found.changes else ()
    return Outcome(headline=section.notes[0], sections=(section,), tries=tries)


def trade(work: Work) -> Outcome:
    """Give every fin the ballast it needs."""
    from finial.findings.limits import Limits
    from finial.report.pictures.size_front import size_front
    from finial.report.size_text import trade_section
    from finial.sizing.trade import TradeAsked, combinations, fin_trade

    compile_flight(work.note)
    vehicle, skin = work.vehicle, work.vehicle.skin
    if not vehicle.sheet.fin:
        raise MissingData("this vehicle has no fins to trade")
    limit = Limits(own=vehicle.sheet.limits.own).margin(skin.breadth_m, skin.length_m)
    asked = TradeAsked(fin=vehicle.sheet.fin[0].name, item=_ballast(vehicle), needed_m=limit.value)
    total = combinations(vehicle, asked)
    work.note(f"{total} fins, each with the ballast it needs")
    tried = fin_trade(vehicle, asked, lambda done: work.share(done / total))
    section = trade_section(tried, work.shown)
    return Outcome(
        headline=section.title,
        sections=(section,),
        pictures={"fins-against-ballast": size_front(tried, us_units=vehicle.us_units)},
        tries=_best(work, tried),
    )


def search(work: Work) -> Outcome:
    """Search every lever of the sheet for the lightest, or the highest, that goes by the whole look."""
    from finial.campaign.as_meant import OddsWanted
    from finial.findings.design_judge import about_search, judging
    from finial.findings.design_whole import confirmed, whole_verdict
    from finial.report.pictures.search_front import search_front
    from finial.report.search_text import headline, search_sections
    from finial.sizing.judged import Aim
    from finial.sizing.motors import motors_named
    from finial.sizing.search import Search, best_go
    from finial.sizing.today import today
    from finial.sizing.usual import usual_variables
    from finial.sizing.variables import changing

    vehicle, generations, percent = work.vehicle, work.settings["generations"], work.settings.get("odds")
    compile_flight(work.note, many=bool(percent))
    wanted = None
    if percent:
        flights, threads = work.settings["flights"], usable_cores()
        wanted = OddsWanted(share=percent / 100.0, flights=flights, threads=threads)
    variables = (*_variables(vehicle), *usual_variables(vehicle))
    motors = motors_named(variables, vehicle.files.path.parent)
    asked = Search(
        variables=variables,
        generations=generations,
        about=about_search(vehicle, motors, wanted),
        aim=Aim.HIGHEST if work.settings.get("highest") else Aim.LIGHTEST,
        start=today(vehicle, variables),
    )

    def told(generation: int, _point: object, judged: object) -> None:
        work.note(f"generation {generation} of {generations}")
        work.share(min(1.0, generation / generations))

    written = changing(vehicle, asked.variables)
    found = best_go(
        asked,
        judging(vehicle, written, motors, wanted),
        work.folder / DESIGNS / "judged.jsonl",  # the job itself has its folder to itself already
        told,
    )
    work.note("looking at the best of them whole")
    whole = confirmed(found, asked.aim, lambda point: whole_verdict(vehicle, written(point), motors))
    rows = enumerate(found.front[:_MOST_TRIES], 1)
    front = tuple(one for number, row in rows for one in work.tries(str(number), written(row.point)))
    drawn = {"search-front": search_front(found.front, asked.aim, whole.goes, us_units=vehicle.us_units)}
    return Outcome(
        headline=f"{headline(found, whole, work.shown)}.",
        sections=search_sections(found, whole, asked, work.shown),
        pictures=drawn if found.front else {},
        tries=front or work.tries("this design", written(whole.best.point)),
    )


def region(work: Work) -> Outcome:
    """Judge a net of fin spans and ballasts, and draw where nothing fails."""
    from finial.findings.design_judge import judge_design
    from finial.report.pictures.go_region import go_region_picture, go_region_section
    from finial.sizing.region import go_region
    from finial.sizing.variables import changing

    compile_flight(work.note)
    vehicle, steps = work.vehicle, work.settings["steps"]
    ballast, *spans = _variables(vehicle)
    if not spans:
        raise MissingData("this vehicle has no fins to set against ballast")
    now = next(one.mass.value for one in vehicle.sheet.item if one.name == ballast.name)
    work.note(f"{steps * steps} designs, by the quick look")
    found = go_region(
        vehicle,
        (spans[0], ballast),
        lambda changes: judge_design(vehicle, changes),
        steps=steps,
        told=work.share,
    )
    best = found.lightest
    values = () if best is None else (float(found.first[best[0]]), float(found.second[best[1]]))
    count = f"{int(found.is_go.sum())} of {found.is_go.size}"
    return Outcome(
        headline=f"At {count} points of span of {spans[0].name} and {ballast.name} nothing fails.",
        sections=(go_region_section(found, work.shown),),
        pictures={"go-region": go_region_picture(found, (1.0, now), us_units=vehicle.us_units)},
        tries=work.tries("the lightest that goes", changing(vehicle, found.variables)(values))
        if values
        else (),
    )


def prints(work: Work) -> Outcome:
    """Plan the print: pieces that fit the bed, drawn apart, with their joints, time and plastic."""
    from finial.assemble.prints.strength import judged_plan
    from finial.findings.limits import Limits
    from finial.report.pictures.exploded import exploded
    from finial.report.print_text import plan_section

    compile_flight(work.note)
    plan = judged_plan(work.vehicle, work.note, Limits(own=work.vehicle.sheet.limits.own)["reserve"].value)
    section = plan_section(plan)
    return Outcome(
        headline=f"{counted(len(plan.pieces), 'piece')}. 'finial print' writes them as files for the slicer.",
        sections=(section,),
        pictures={"pieces-drawn-apart": exploded(plan)},
    )


def tunnel(work: Work) -> Outcome:
    """Blow at the shape; runs are kept beside the sheet, where the shell's command finds them too."""
    from finial.files.tunnel_runs import own_folder, read_tunnel_runs
    from finial.report.pictures.tunnel_pictures import tunnel_pictures
    from finial.report.sections.tunnel import tunnel_section
    from finial.tunnel.records import Fineness
    from finial.tunnel.run import blow
    from finial.tunnel_study.beside import beside_sections
    from finial.tunnel_study.machines import refuse_too_large
    from finial.tunnel_study.plan import StudyAsked, planned
    from finial.tunnel_study.run import PROCESSOR, run_study
    from finial.tunnel_study.store import read_kept

    vehicle, most = work.vehicle, math.radians(work.settings["degrees"])
    plan = planned(
        vehicle,
        StudyAsked(angles_rad=(0.0, most), fineness=Fineness(cells=float(work.settings["cells"]))),
    )
    refuse_too_large(plan.runs, PROCESSOR)
    folder = own_folder(vehicle.files.path)
    work.note(f"{counted(len(plan.runs), 'run')}; the first time it compiles, a minute or so")
    studied = run_study(plan, folder, blow, told=work.share)
    beside = beside_sections(vehicle, read_tunnel_runs(studied.runs_file))
    kept = read_kept(folder, {run.key for run in plan.runs})
    missing = f"; {len(plan.runs) - studied.done} failed" if studied.done < len(plan.runs) else ""
    return Outcome(
        headline=f"{studied.done} of {counted(len(plan.runs), 'run')} kept in {folder.name}{missing}.",
        sections=(tunnel_section(beside, work.shown),),
        pictures=_stems(tunnel_pictures(vehicle.skin, kept, beside, us_units=vehicle.us_units)),
    )


def _stems(pictures: Mapping[str, str]) -> dict[str, str]:
    return {name.removesuffix(".svg"): text for name, text in pictures.items()}


def _finding_rows(findings: "tuple[Finding, ...]", shown: Shown) -> Iterator[tuple[str, ...]]:
    from finial.findings.finding import Verdict
    from finial.report.finding_words import limit, title, value, what_to_change

    for one in findings:
        if one.verdict is not Verdict.GO:
            said = "" if one.value is None else value(one, shown)
            yield one.verdict.words, title(one, shown), said, limit(one, shown), what_to_change(one, shown)


def _best(work: Work, tried: "tuple[Tried, ...]") -> tuple[TryRow, ...]:
    from finial.report.size_text import tried_words

    best = [one for one in tried if one.is_best][:_MOST_TRIES]
    return tuple(
        row
        for number, one in enumerate(best, 1)
        for row in work.tries(tried_words(number, one, work.shown), one.changes)
    )


def _ballast(vehicle: "LoadedVehicle") -> str:
    """Item marked as ballast, without one the heaviest, as the sliders choose."""
    items = sorted(vehicle.sheet.item, key=lambda item: (item.ballast, item.mass.value))
    if not items:
        raise MissingData("this vehicle has no item that could be ballast")
    return items[-1].name


def _variables(vehicle: "LoadedVehicle") -> "tuple[Variable, ...]":
    from finial.sizing.variables import BALLAST, SPAN, Variable

    item = _ballast(vehicle)
    most_kg = _MOST_OF_BALLAST * next(one.mass.value for one in vehicle.sheet.item if one.name == item)
    low, high = _SPAN_ENDS
    fins = (Variable(kind=SPAN, name=one.name, low=low, high=high) for one in vehicle.sheet.fin)
    return (Variable(kind=BALLAST, name=item, low=0.0, high=most_kg), *fins)
