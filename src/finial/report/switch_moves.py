"""What a hand does to a switch, in words: a pin that must come out, and one that must stay in."""

from dataclasses import dataclass

from finial.electronics.rates import Rest
from finial.files.sheet_recovery import SwitchEntry


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchMoves:
    """What is done to one switch."""

    arms: str
    off: str


_ON = SwitchMoves(arms="switched on", off="switched off")
_HELD = {
    ("pull pin", Rest.CLOSED): SwitchMoves(arms="drawn", off="pin in"),
    ("pull pin", Rest.OPEN): SwitchMoves(arms="pushed in, and it stays in", off="pin out"),
    ("magnetic switch", Rest.CLOSED): SwitchMoves(arms="magnet taken away", off="magnet on"),
    ("magnetic switch", Rest.OPEN): SwitchMoves(arms="magnet on, and it stays on", off="magnet taken away"),
    ("magnetic switch", None): SwitchMoves(
        arms="switched on by its magnet", off="switched off by its magnet"
    ),
    ("screw switch", None): SwitchMoves(arms="screwed home", off="screw out"),
    ("rotary switch", None): SwitchMoves(arms="turned to on", off="turned to off"),
}


def moves(switch: SwitchEntry) -> SwitchMoves:
    """Say what arms a switch and what puts it off, by its kind and by what its contacts do at rest."""
    kind = switch.kind.casefold()
    rest = Rest(switch.rest) if switch.rest else Rest.CLOSED if kind == "pull pin" else None
    return _HELD.get((kind, rest), _ON)
