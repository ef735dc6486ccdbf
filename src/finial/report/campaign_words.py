"""What a campaign was asked, and what to do about an uncertain number."""

from finial.campaign.answers import CampaignAnswer
from finial.campaign.asked import HOPED, Asked
from finial.campaign.quantiles import Odds
from finial.flight.uncertain import Drawn, Uncertain

ASKED: dict[str, str] = {
    Asked.OPEN_CANOPY: "comes down under an open canopy",
    Asked.BALLISTIC: "comes down ballistic, no canopy out",
    Asked.INSIDE_OUTLINE: "lands inside the field's outline",
    Asked.INSIDE_RADIUS: "lands within the field's radius",
    Asked.STRIKES_CROWD: "comes down among the people",
    Asked.AS_FAR_AS_CROWD: "comes down as far out as the people stand, on whatever side",
    Asked.STRIKES_BARE: "reaches them without an open canopy",
    Asked.LOST: "is lost: turns over, or opens or lands under thrust",
    Asked.OVER_CEILING: "goes over the ceiling",
    Asked.LANDS: "could be followed to the ground",
}
TO_KNOW = {
    Asked.INSIDE_RADIUS: "enter field_radius or the field's outline in the site file",
    Asked.STRIKES_CROWD: "enter launch.crowd_distance, crowd_bearing and crowd_across",
    Asked.OVER_CEILING: "enter ceiling_agl in the site file",
}
_MISSED = {
    Asked.OPEN_CANOPY: "come down without an open canopy",
    Asked.BALLISTIC: "come down ballistic, no canopy out",
    Asked.INSIDE_OUTLINE: "land outside the field",
    Asked.INSIDE_RADIUS: "land outside the field",
    Asked.STRIKES_CROWD: "come down among the people",
    Asked.AS_FAR_AS_CROWD: "come down as far out as the people stand",
    Asked.STRIKES_BARE: "reach them without an open canopy",
    Asked.LOST: "are lost under way",
    Asked.OVER_CEILING: "go over the ceiling",
    Asked.LANDS: "could not be followed to the ground",
}


def feared(asked: Asked) -> str:
    """Say how a flight ends that is not as one hopes."""
    return _MISSED[asked]


def headline(answer: CampaignAnswer) -> str:
    """Say how many flights end as nobody wants, most feared first, and what is not known."""
    told = [f"{_bad(one)} {_MISSED[Asked(one.asked)]}" for one in answer.odds if _bad(one)]
    bad = ", ".join(told) if told else "none end as feared"
    missing = [ASKED[one] for one in answer.unasked]
    more = f" Not known: {'; '.join(missing)}." if missing else ""
    return f"Of {answer.flights} flights {bad}.{more}"


def _bad(found: Odds) -> int:
    return found.flights - found.count if found.asked in HOPED else found.count


_ADVICE: dict[Drawn, str] = {
    Drawn.MOTOR_MASS: "take it from the maker's data; weigh the loaded motor",
    Drawn.MASS: "weigh {of}",
    Drawn.STATION: "measure where {of} sits",
    Drawn.OFF_AXIS: "measure how far {of} sits off the axis",
    Drawn.WIND: "measure the wind at the pad and aloft before the flight",
    Drawn.WIND_DIRECTION: "measure the wind at the pad and aloft before the flight",
    Drawn.WIND_GROWTH: "measure the wind aloft: launch.wind_column",
    Drawn.TEMPERATURE: "read a thermometer at the pad",
    Drawn.PRESSURE: "read a barometer at the pad",
    Drawn.IMPULSE: "nothing but luck: motors differ",
    Drawn.BURN_TIME: "nothing but luck: motors differ",
    Drawn.IGNITION: "nothing but luck: igniters differ",
    Drawn.THRUST_LEAN: "square the motor mount to the axis",
    Drawn.THRUST_ASIDE: "square the motor mount to the axis",
    Drawn.RAIL_TILT: "set the rail with a level and a compass",
    Drawn.RAIL_BEARING: "set the rail with a level and a compass",
    Drawn.RAIL_FRICTION: "pull the vehicle along its rail with a spring scale",
    Drawn.AXIAL_FORCE: "fly once and read the drag from the log, or give a measured table as [air] table",
    Drawn.NORMAL_FORCE: "measure this shape, and give the table as [air] table",
    Drawn.PRESSURE_CENTRE: "fly once with gyroscopes and read it from the log, or measure this shape",
    Drawn.FINS_TWISTED: "set the fins with a jig and measure their angles",
    Drawn.FINS_CROOKED: "set the fins with a jig and measure their angles",
    Drawn.OPENED_DRAG: "nothing cheap: it tumbles as it likes",
    Drawn.CANOPY_DRAG: "drop-test {of} with a known mass",
    Drawn.CANOPY_FILLING: "film {of} opening",
    Drawn.CANOPY_LATE: "check the computer's settings against its log",
    Drawn.CANOPY_HEIGHT: "check the altimeter against its log",
    Drawn.STAYS_IN: "ground-test and pack it the same way each time",
    Drawn.STAYS_BUNDLED: "ground-test and pack it the same way each time",
    Drawn.OTHER: "measure it",
}


def advice(number: Uncertain) -> str:
    """Say what would settle an uncertain number.

    Examples
    --------
    >>> advice(Uncertain(kind=Drawn.MASS, of="steel ballast"))
    'weigh steel ballast'
    """
    return _ADVICE[number.kind].format(of=number.of)
