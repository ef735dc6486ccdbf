"""Landing points of a kept campaign in words, and as files."""

import csv
import io

from finial.findings.kept_landings import KeptLandings
from finial.report.campaign_text import odds_facts
from finial.report.document import ReportSection
from finial.report.field_map_text import under_notes, under_table, walk_facts
from finial.report.shown import Shown


def landings_sections(found: KeptLandings) -> tuple[ReportSection, ...]:
    """Where they come down, and on what, in the units asked for."""
    shown = Shown(us_units=found.drawn.us_units)
    down = (
        *walk_facts(found.drawn, shown),
        ("95 % come down within", f"{shown.height(found.within.value)} of the pad"),
        *odds_facts(found.odds, found.unasked),
    )
    return (
        ReportSection(key="down", title="Walk and odds", facts=down),
        ReportSection(
            key="under",
            title="What lies there",
            tables=(under_table(found.on_marks),),
            notes=under_notes(found.on_marks),
        ),
    )


def landings_csv(found: KeptLandings) -> str:
    """Every landing point that is held as comma-separated values, metres east and north of the pad."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(("east_m", "north_m"))
    writer.writerows(found.drawn.landings_m.round(2).tolist())
    return stream.getvalue()
