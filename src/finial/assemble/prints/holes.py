"""Holes printed into the parts: for rods, the motor's tube, tabs of fins, and those that are said."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from finial.assemble.inside.placed import Placed
from finial.inside.cavity import Printed
from finial.inside.things import Kind, Thing, thing_mesh
from finial.shape.united import Body, solid_of_mesh

_BORED = (Kind.ROD, Kind.MOTOR_TUBE, Kind.TAB)
_OUTWARD_M = 10e-3
"""The slot of a tab goes on outward this far, through the skin wherever it slopes [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedHole:
    """A hole that goes through printed plastic."""

    kind: Kind
    name: str
    across_m: float
    """As printed, play included [m]."""


def hole_things(placed: tuple[Placed, ...], clearance_m: float) -> tuple[Thing, ...]:
    """Return what is taken out of the print, each wider than what goes in by the printer's play."""
    return tuple(_wider(one.thing, clearance_m) for one in placed if one.thing.kind in _BORED)


def _wider(thing: Thing, clearance_m: float) -> Thing:
    play = clearance_m - 2 * thing.pressed_in_m
    if thing.is_round:
        return replace(
            thing, across_m=thing.across_m + play, bore_m=0.0, length_m=thing.length_m + clearance_m
        )
    return _slot(thing, clearance_m)


def _slot(tab: Thing, clearance_m: float) -> Thing:
    deep = tab.across_m + clearance_m + _OUTWARD_M
    out = _OUTWARD_M / 2
    y, z = tab.offset_m
    return replace(
        tab,
        across_m=deep,
        depth_m=tab.depth_m + clearance_m,
        length_m=tab.length_m + clearance_m,
        offset_m=(y + out * math.cos(tab.roll_rad), z + out * math.sin(tab.roll_rad)),
    )


def cutters(things: tuple[Thing, ...], part: Printed) -> Iterator[tuple[Thing, Body]]:
    """Solids to take out of one part [m], in body axes: those that reach it, and its own said holes."""
    fore, aft = part.span_m
    for thing in (*things, *part.bores):
        low, high = thing.span_m
        if low < aft and high > fore:
            yield thing, solid_of_mesh(thing_mesh(thing))
