"""What to do about an uncertain number."""

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
    ("drag", "fly once and read the drag from the log, or run the tunnel"),
    ("normal force", "run the tunnel on this shape"),
    ("centre of pressure", "run the tunnel on this shape"),
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
