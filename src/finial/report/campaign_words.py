"""What a campaign was asked, and what to do about an uncertain number."""

from finial.campaign.answers import CampaignAnswer
from finial.campaign.asked import Asked
from finial.campaign.quantiles import Odds

ASKED: dict[str, str] = {
    Asked.OPEN_CANOPY: "comes down under an open canopy",
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
_GOOD = (Asked.OPEN_CANOPY, Asked.INSIDE_OUTLINE, Asked.INSIDE_RADIUS, Asked.LANDS)
"""What one hopes for; of the others one hopes for none."""
_MISSED = {
    Asked.OPEN_CANOPY: "come down without an open canopy",
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
    return found.flights - found.count if found.asked in _GOOD else found.count


_BEGINNINGS = (
    ("mass of the motor", "take it from the maker's data; weigh the loaded motor"),
    ("mass of ", "weigh {rest}"),
    ("station of ", "measure where {rest} sits"),
    ("wind", "measure the wind at the pad and aloft before the flight"),
    ("growth of the wind", "measure the wind aloft: launch.wind_column"),
    ("temperature", "read a thermometer at the pad"),
    ("pressure", "read a barometer at the pad"),
    ("impulse", "nothing but luck: motors differ"),
    ("burn time", "nothing but luck: motors differ"),
    ("ignition", "nothing but luck: igniters differ"),
    ("thrust line", "square the motor mount to the axis"),
    ("rail", "set the rail with a level and a compass"),
    ("drag of the opened", "nothing cheap: it tumbles as it likes"),
    ("drag of ", "drop-test {rest} with a known mass"),
    ("drag", "fly once and read the drag from the log, or give a measured table as [air] table"),
    ("normal force", "measure this shape, and give the table as [air] table"),
    ("centre of pressure", "measure this shape, and give the table as [air] table"),
    ("fins", "set the fins with a jig and measure their angles"),
    ("filling of ", "film {rest} opening"),
    ("lateness of ", "check the computer's settings against its log"),
    ("height of ", "check the altimeter against its log"),
)


def advice(draw: str) -> str:
    """Say what would settle an uncertain number.

    Examples
    --------
    >>> advice("mass of steel ballast")
    'weigh steel ballast'
    """
    for beginning, words in _BEGINNINGS:
        if draw.startswith(beginning):
            return words.format(rest=draw.removeprefix(beginning))
    if draw.endswith(("stays in", "stays a bundle")):
        return "ground-test and pack it the same way each time"
    return "measure it"
