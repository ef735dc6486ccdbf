"""What a script or a notebook uses: a vehicle, changed vehicles, and their answers.

Everything listed here is stable; ``import finial`` gives ``finial.load``.
"""

from finial.face.answers import AirAnswer, Answer, FlightAnswer
from finial.face.many import CampaignAnswers
from finial.face.svg import Svg
from finial.face.tunnel import TunnelAnswer
from finial.face.vehicle import Vehicle, load

__all__ = ["AirAnswer", "Answer", "CampaignAnswers", "FlightAnswer", "Svg", "TunnelAnswer", "Vehicle", "load"]
