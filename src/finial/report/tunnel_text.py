"""A study of the tunnel as text: what it will cost, and what it read."""

import math
from collections.abc import Mapping
from dataclasses import replace

from finial.assemble.air.results import TunnelBeside
from finial.report.document import ReportSection
from finial.report.layout import paragraph
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.sections.tunnel import tunnel_section
from finial.report.sections.tunnel_ranking import ranking_section
from finial.report.shown import Shown
from finial.tunnel_study.plan import Cost, StudyPlan
from finial.tunnel_study.run import Failed, Studied

_MINUTE_S, _HOUR_S = 60.0, 3600.0
FIN_CELLS = 20.0
"""Along the mean chord: with 19 the fins of the measured slim body add 11 % less than with 29 and 44."""
WHOLE, BARE, VARIANT = "whole", "bare", "variant "
"""What is read of the sheet, of it without its fins, and of a variant, whose name follows."""
AS_WRITTEN = "as written"
_OF = {WHOLE: "", BARE: ", without the sheet's fins"}


def duration(seconds: float) -> str:
    """Write a time that nobody needs to the second.

    Examples
    --------
    >>> duration(42.0), duration(600.0), duration(90_000.0)
    ('42 s', '10 min', '25 h')
    """
    if seconds < 2 * _MINUTE_S:
        return f"{seconds:.0f} s"
    if seconds < 2 * _HOUR_S:
        return f"{seconds / _MINUTE_S:.0f} min"
    return f"{seconds / _HOUR_S:.0f} h"


def plan_lines(
    plan: StudyPlan, cost: Cost, per_second: float | None, kept: int, *, width: int = WIDTH
) -> tuple[TextLine, ...]:
    """Say which runs a study is made of and what is still to be blown will take.

    ``cost`` is of the runs that are not kept yet, ``per_second`` what this machine was measured to do.
    """
    angles = sorted({run.stream.angle_rad for run in plan.runs})
    rolls = sorted({run.stream.roll_rad for run in plan.runs})
    time = "not measured" if per_second is None else duration(cost.updates / per_second)
    speed = (
        "" if per_second is None else f", at {per_second / 1e6:.3g} million cell updates a second as measured"
    )
    facts = (
        ("runs", f"{len(plan.runs)}, of which {kept} are kept"),
        *_variant_facts(plan),
        ("angles", ", ".join(f"{_degrees(angle)} deg" for angle in angles)),
        ("rolls", ", ".join(f"{_degrees(roll)} deg" for roll in rolls)),
        (
            "cells to a width",
            ", ".join(f"{cells:.3g}" for cells in sorted({run.fineness.cells for run in plan.runs})),
        ),
        *_fin_facts(plan),
        ("cells of the largest", f"{cost.cells:,}, in {cost.memory_bytes / 1e6:,.0f} MB"),
        ("cell updates left", f"{cost.updates:.3g}"),
        ("time left", f"{time}{speed}"),
    )
    leaks = tuple(
        f"{name} is not closed ({edges} edges are left open): what is inside there is a guess."
        for name, edges in plan.leaks
    )
    notes = (*leaks, *_fin_notes(plan))
    section = ReportSection(key="tunnel-plan", title=f"Study of {plan.vehicle}", facts=facts, notes=notes)
    return section_lines(section, width=width)


def _variant_facts(plan: StudyPlan) -> tuple[tuple[str, str], ...]:
    names = dict.fromkeys(run.variant for run in plan.runs)
    return (("variants", ", ".join(name or AS_WRITTEN for name in names)),) if any(names) else ()


def _fin_facts(plan: StudyPlan) -> tuple[tuple[str, str], ...]:
    told = ", ".join(f"{cells:.3g}" for cells in plan.fin_cells)
    return (("cells along the shortest fin", told),) if told else ()


def _fin_notes(plan: StudyPlan) -> tuple[str, ...]:
    if not plan.fin_cells or plan.fin_cells[-1] >= FIN_CELLS:
        return ()
    return (
        f"The shortest fin has fewer than {FIN_CELLS:g} cells of mean chord on the fine grid: such fins "
        "add a tenth too little.",
    )


def study_lines(
    read: Mapping[str, TunnelBeside], studied: Studied, *, us_units: bool, width: int = WIDTH
) -> tuple[TextLine, ...]:
    """Say what a study read, of each variant, and which runs are missing."""
    shown = Shown(us_units=us_units)
    lines: list[TextLine] = []
    for name, beside in read.items():
        section = tunnel_section(beside, shown)
        title = f"{section.title}{_OF.get(name, f': {name}')}"
        lines += section_lines(replace(section, title=title), width=width)
    finned = {AS_WRITTEN if name == WHOLE else name: one for name, one in read.items() if name != BARE}
    ranked = ranking_section(finned, shown)
    lines += section_lines(ranked, width=width) if ranked else ()
    lines += [text for one in studied.failed for text in _lost(one, width)]
    if studied.elsewhere:
        lines.append(TextLine(f"runs that another process blows at this moment: {studied.elsewhere}"))
    return (*lines, *caution_lines(width=width))


def _lost(one: Failed, width: int) -> list[TextLine]:
    stream = one.run.stream
    said = (
        f"lost at {_degrees(stream.angle_rad)} deg, roll {_degrees(stream.roll_rad)} deg, "
        f"{one.run.fineness.cells:.3g} cells to a width: {one.why}"
    )
    return [TextLine(text) for text in paragraph(said, width)]


def _degrees(angle_rad: float) -> str:
    return f"{math.degrees(angle_rad):.4g}"
