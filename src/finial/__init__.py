"""Finial: from the mesh of an odd-shaped, printed high-power rocket to a readiness verdict.

``finial.load(path)`` gives a vehicle to ask; see :mod:`finial.face`.
"""

from typing import TYPE_CHECKING, Any

from finial.core.version import __version__

if TYPE_CHECKING:
    from finial.face import AirAnswer, Answer, CampaignAnswers, FlightAnswer, Svg, TunnelAnswer, Vehicle, load

__all__ = [
    "AirAnswer",
    "Answer",
    "CampaignAnswers",
    "FlightAnswer",
    "Svg",
    "TunnelAnswer",
    "Vehicle",
    "__version__",
    "load",
]


def __getattr__(name: str) -> Any:
    """Import the face only when it is asked for: ``finial --help`` stays instant."""
    if name in __all__:
        import finial.face

        return getattr(finial.face, name)
    raise AttributeError(f"module 'finial' has no attribute {name!r}")
