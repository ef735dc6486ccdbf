"""Which bodies are blown at, at which angles and how finely: the most important first."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from bench.tunnel.bodies import body

from finial.tunnel.boxes import nested_boxes
from finial.tunnel.records import Eddies, Fineness, Stream


@dataclass(frozen=True, kw_only=True)
class Case:
    """One run."""

    name: str
    angle_deg: float = 0.0
    roll_deg: float = 0.0
    cells: float = 24.0
    grids: int = 3
    side_widths: float = 4.5
    settle_widths: float = 22.0
    travel_widths: float = 44.0
    eddies: Eddies = "smagorinsky"

    @property
    def key(self) -> str:
        """Tell it from every other."""
        return (
            f"{self.name} {self.angle_deg:g} {self.roll_deg:g} {self.cells:g} {self.grids}"
            f" {self.side_widths:g} {self.settle_widths:g} {self.travel_widths:g}"
            f"{'' if self.eddies == 'smagorinsky' else f' {self.eddies}'}"
        )

    @property
    def stream(self) -> Stream:
        """Wind."""
        return Stream(angle_rad=np.radians(self.angle_deg), roll_rad=np.radians(self.roll_deg))

    @property
    def fineness(self) -> Fineness:
        """Grid and time."""
        return Fineness(
            cells=self.cells,
            grids=self.grids,
            side_widths=self.side_widths,
            settle_widths=self.settle_widths,
            travel_widths=self.travel_widths,
            eddies=self.eddies,
        )

    def updates(self) -> float:
        """Cell updates that it takes."""
        nested = nested_boxes(body(self.name, self.cells).shape, self.stream, self.fineness, 1.0)
        widths = self.settle_widths + self.travel_widths
        return nested.updates_a_step * self.fineness.steps_a_width * widths


ACROSS = (
    Case(name="square across", angle_deg=90.0),
    Case(name="diamond across", angle_deg=90.0, roll_deg=45.0),
    Case(name="rounded square across", angle_deg=90.0),
)
END_ON = (
    *(f"prism {length}" for length in (1, 2, 4, 7, 10)),
    *(f"cylinder {length:g}" for length in (0.5, 1, 2, 4, 7, 8)),
    *("disk", "sphere", "hemisphere round", "hemisphere flat", "cone 30", "cone 60", "cone 90"),
    "prism 4 rounded front",
)
LENGTHS = (1, 2, 4, 7, 10)


def plan() -> list[Case]:
    """All cases, each once."""
    return list(dict.fromkeys(_ordered()))


def smoke() -> list[Case]:
    """Three short coarse cases for a processor: does it work at all?"""
    short = {"cells": 8.0, "settle_widths": 8.0, "travel_widths": 8.0, "grids": 2}
    return [
        Case(name="prism 1", **short),
        Case(name="disk", **short),
        Case(name="finned prism 2", angle_deg=10.0, **short),
    ]


def _ordered() -> Iterator[Case]:
    yield from _three_questions()
    yield from at_two_grids(Case(name=name) for name in END_ON)
    yield from at_two_grids(
        Case(name=name, angle_deg=5.0) for name in ("finned prism 7", "larger finned prism 7", "prism 7")
    )
    yield from at_two_grids(ACROSS)
    yield from at_two_grids(Case(name="capsule", angle_deg=angle) for angle in (0.0, 10.0, 20.0, 30.0))
    yield from at_two_grids(Case(name="plate", angle_deg=angle) for angle in (6.0, 10.0))
    yield from at_two_grids(Case(name="hull", angle_deg=angle) for angle in (0.0, 5.98, 10.02))
    for name in ("ogive-cylinder", "finned ogive-cylinder"):
        yield from at_two_grids(Case(name=name, angle_deg=angle) for angle in (3.98, 8.05))
    yield from _studies()
    for name in ("finned prism 4", "finned prism 7", "larger finned prism 7"):
        yield from at_two_grids(Case(name=name, angle_deg=angle) for angle in (2.0, 10.0, 15.0))
    for name in ("finned prism 1", "finned prism 2", "prism 2", "prism 7", "prism 10"):
        yield from at_two_grids(Case(name=name, angle_deg=angle) for angle in (5.0, 10.0))
    yield from (Case(name="plate", angle_deg=6.0, cells=cells) for cells in (8.0, 12.0, 16.0))
    yield from (
        Case(name=name, angle_deg=3.98, cells=16.0) for name in ("ogive-cylinder", "finned ogive-cylinder")
    )
    for kind in ("prism", "finned prism"):
        for length in LENGTHS:
            yield from (
                replace(Case(name=f"{kind} {length}", angle_deg=angle), cells=cells)
                for angle in (0.0, 2.0, 5.0, 10.0, 15.0)
                for cells in (24.0, 16.0)
            )
    yield from (Case(name="larger finned prism 7", angle_deg=angle) for angle in (0.0, 2.0, 10.0, 15.0))


def _three_questions() -> Iterator[Case]:
    """Does a bare cube's force fall with its angle; what do fins close behind a flat front lose; where a flat
    prism of four widths has its centre."""
    for cells in (24.0, 36.0):
        for name in ("prism 1", "prism 4", "finned prism 4"):
            for angle in (5.0, 10.0):
                yield Case(name=name, angle_deg=angle, cells=cells)
    for name in ("prism 1", "prism 4", "finned prism 4"):
        yield Case(name=name, angle_deg=5.0, cells=54.0)


def _studies() -> Iterator[Case]:
    """Fineness, walls of the tunnel, number of grids, and time."""
    for cells in (8.0, 12.0, 16.0, 24.0, 36.0, 48.0):
        yield Case(name="prism 1", cells=cells)
        yield Case(name="finned prism 4", angle_deg=5.0, cells=cells)
    for side in (2.5, 3.5, 6.5):
        yield Case(name="prism 1", side_widths=side)
        yield Case(name="finned prism 4", angle_deg=5.0, side_widths=side)
    for grids in (1, 2, 4):
        yield Case(name="prism 1", grids=grids)
        yield Case(name="finned prism 4", angle_deg=5.0, grids=grids, cells=16.0)
    yield Case(name="finned prism 4", angle_deg=5.0, settle_widths=44.0, travel_widths=88.0)


def at_two_grids(cases: Iterable[Case]) -> Iterator[Case]:
    """Each at 36 and at 24 cells to a width: their difference is the grid's share of the error."""
    for case in cases:
        yield replace(case, cells=36.0)
        yield replace(case, cells=24.0)
