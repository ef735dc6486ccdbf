"""A study of the tunnel from a script: what was read, as text, as rows, drawn."""

import math
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from finial.assemble.air.results import TunnelBeside
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import MissingData
from finial.face.frames import frame
from finial.face.svg import Svg
from finial.files.tunnel_runs import read_tunnel_runs
from finial.report.json_records import plain
from finial.report.pictures.tunnel_places import tunnel_places
from finial.report.tunnel_text import study_lines
from finial.tunnel.records import Fineness
from finial.tunnel_study.beside import beside_sections
from finial.tunnel_study.plan import StudyAsked, planned
from finial.tunnel_study.run import PROCESSOR, Blow, Studied, run_study

if TYPE_CHECKING:
    import pandas


class TunnelAnswer:
    """Tunnel and sections side by side."""

    __slots__ = ("beside", "studied", "vehicle")

    def __init__(self, vehicle: LoadedVehicle, beside: TunnelBeside, studied: Studied) -> None:
        """Take what was read, and how the study ended."""
        self.vehicle, self.beside, self.studied = vehicle, beside, studied

    def __repr__(self) -> str:
        """Say what was read."""
        lines = study_lines({"whole": self.beside}, self.studied, us_units=self.vehicle.us_units)
        return "\n".join(line.text for line in lines)

    def to_dict(self) -> dict[str, Any]:
        """Return what was read, SI units."""
        return plain(self.beside)

    def to_dataframe(self) -> "pandas.DataFrame":
        """Return every angle and roll as a row.

        Raises
        ------
        MissingData
            If pandas is not installed.
        """
        return frame(
            {
                "angle_rad": row.angle_rad,
                "roll_rad": row.roll_rad,
                **{
                    f"{name}{end}": math.nan if one is None else getattr(one, told)
                    for name, one in (
                        ("force", row.force),
                        ("place_m", row.place),
                        ("axial", row.axial),
                        ("aside", row.aside),
                    )
                    for end, told in (("", "value"), ("_low", "low"), ("_high", "high"))
                },
            }
            for row in self.beside.rows
        )

    def plot_places(self) -> Svg:
        """Draw the centre of pressure by angle, with the sections' band behind.

        Raises
        ------
        MissingData
            If no force was told from nothing.
        """
        if all(row.place is None for row in self.beside.rows):
            raise MissingData("no centre of pressure to draw: no force was told from nothing")
        return Svg(tunnel_places(self.beside.rows, us_units=self.vehicle.us_units))


def study(
    vehicle: LoadedVehicle,
    folder: str | Path,
    *,
    angles_deg: Sequence[float],
    cells: float,
    cards: Sequence[int],
    blow: Blow | None = None,
) -> TunnelAnswer:
    """Blow what a folder does not hold yet, and read it."""
    if blow is None:
        from finial.tunnel.run import blow as solver

        blow = solver
    asked = StudyAsked(
        angles_rad=tuple(math.radians(angle) for angle in angles_deg), fineness=Fineness(cells=cells)
    )
    studied = run_study(planned(vehicle, asked), Path(folder), blow, cards=tuple(cards) or PROCESSOR)
    return TunnelAnswer(vehicle, beside_sections(vehicle, read_tunnel_runs(studied.runs_file)), studied)
