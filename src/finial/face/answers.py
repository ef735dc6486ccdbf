"""Answers to one vehicle: short to print, whole as dictionaries, rows as tables, pictures as SVG."""

import math
from typing import TYPE_CHECKING, Any

from finial.core.errors import MissingData
from finial.face.frames import frame
from finial.face.svg import Svg
from finial.findings.finding import Finding, Verdict
from finial.findings.readiness import Readiness
from finial.report.album import pictures
from finial.report.finding_words import limit, title, what_to_change
from finial.report.json_records import to_plain
from finial.report.pictures.inside_section import inside_section
from finial.report.sections.air import drag_words
from finial.report.shown import Shown
from finial.report.words import answer

if TYPE_CHECKING:
    import pandas


class _View:
    """One part of the answer, by the name it has in the JSON."""

    __slots__ = ("readiness",)
    view = ""

    def __init__(self, readiness: Readiness) -> None:
        """Take the answer."""
        self.readiness = readiness

    @property
    def verdict(self) -> Verdict:
        """Verdict over every look that was made; one that was not made is not known."""
        return self.readiness.verdict

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Findings, worst first."""
        return self.readiness.findings

    def to_dict(self, *, full: bool = False) -> dict[str, Any]:
        """Return plain lists and numbers in SI, as ``--json`` prints them; ``full`` adds long tables."""
        return to_plain(self.readiness, view=self.view, full=full)


class Answer(_View):
    """The whole answer: findings and one verdict."""

    __slots__ = ()

    def __repr__(self) -> str:
        """Say the one sentence that every other place says too."""
        return answer(self.readiness)

    def to_dataframe(self) -> "pandas.DataFrame":
        """Return findings as rows, worst first.

        Raises
        ------
        MissingData
            If pandas is not installed.
        """
        shown = Shown(us_units=self.readiness.us_units)
        return frame(
            {
                "verdict": one.verdict.words,
                "stage": one.stage,
                "key": one.key,
                "title": title(one, shown),
                "value": one.value.value if one.value else None,
                "low": one.value.low if one.value else None,
                "high": one.value.high if one.value else None,
                "limit": limit(one, shown),
                "margin": one.margin,
                "change": what_to_change(one, shown),
            }
            for one in self.findings
        )

    def plot_side_view(self) -> Svg:
        """Draw the outline with balance point and pressure band at the worst moment."""
        return Svg(pictures(self.readiness)["side_view"])

    def plot_firing_paths(self) -> Svg:
        """Draw what fires what, from the batteries to the canopies.

        Raises
        ------
        MissingData
            If nothing fires anything.
        """
        drawn = pictures(self.readiness)
        if "firing_paths" not in drawn:
            raise MissingData("no firing path to draw: the sheet wires no igniter to a charge")
        return Svg(drawn["firing_paths"])

    def plot_inside(self, roll_deg: float | None = None) -> Svg:
        """Draw a section true to scale, at a roll angle or at that which cuts the most things."""
        roll = None if roll_deg is None else math.radians(roll_deg)
        told = self.readiness
        return Svg(inside_section(told.inside, told.shape.fins, roll_rad=roll, us_units=told.us_units))

    def save_report(self, path: str) -> None:
        """Write the report as a PDF."""
        from pathlib import Path

        from finial.files.write import write_atomically
        from finial.report.pdf import pdf_bytes

        write_atomically(Path(path), pdf_bytes(self.readiness))


class AirAnswer(_View):
    """Pressure band, drag and margins."""

    __slots__ = ()
    view = "air"

    def __repr__(self) -> str:
        """Name the worst margin."""
        worst = min(self.readiness.stability, key=lambda point: point.margin.low)
        margin, shown = worst.margin, Shown(us_units=self.readiness.us_units)
        low, high = shown.length(margin.low), shown.length(margin.high)
        return f"<air of {self.readiness.name}: margin {low} to {high} at {worst.moment}>"

    def to_dataframe(self) -> "pandas.DataFrame":
        """Return the drag by source as rows.

        Raises
        ------
        MissingData
            If pandas is not installed.
        """
        return frame(
            {
                "source": drag_words(row, self.readiness.us_units),
                "coefficient": row.coefficient.value,
                "low": row.coefficient.low,
                "high": row.coefficient.high,
                "known_by": row.coefficient.known_by.word,
            }
            for row in self.readiness.air.drag_rows
        )

    def plot_margin(self) -> Svg:
        """Draw the margin over the angle to the wind, at the worst roll."""
        return Svg(pictures(self.readiness)["margin_by_angle"])

    def plot_band(self) -> Svg:
        """Draw where the air pushes, by the wind's roll angle."""
        return Svg(pictures(self.readiness)["pressure_by_roll"])


class FlightAnswer(_View):
    """One flight: its numbers and its time history."""

    __slots__ = ()
    view = "flight"

    def __repr__(self) -> str:
        """Say apogee and rail exit."""
        flight, shown = self.readiness.flight, Shown(us_units=self.readiness.us_units)
        off = flight.rail_exit_speed.value if flight.rail_exit_speed else None
        apogee = shown.height(flight.apogee_agl.value)
        return f"<flight of {self.readiness.name}: apogee {apogee}, off the rail at {shown.speed(off)}>"

    def to_dataframe(self) -> "pandas.DataFrame":
        """Return the time history, SI units in the names of the columns.

        Raises
        ------
        MissingData
            If pandas is not installed.
        """
        from finial.report.trace_csv import trace_columns

        return frame(trace_columns(self.readiness.flight.trace))

    def plot_height(self) -> Svg:
        """Draw height, speed and acceleration over time."""
        return Svg(pictures(self.readiness)["flight_traces"])

    def plot_drift(self) -> Svg:
        """Draw where it drifts and lands."""
        return Svg(pictures(self.readiness)["drift_plan"])
