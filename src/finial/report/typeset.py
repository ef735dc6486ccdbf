"""Units as print sets them: 45°, 22 °C, 12 cm², 1501 N·s, with a space that does not break."""

import re

from finial.core.dimensions import Dimension, units_of

_THIN = "\N{NARROW NO-BREAK SPACE}"
_RAISED = str.maketrans("23", "²³")
_WHOLE = {"deg": "°", "degC": "°C", "degF": "°F", "ohm": "Ω", "mohm": "mΩ", "kohm": "kΩ", "um": "µm"}
_JOINED = ("N m", "kg m2", "lb ft2", "lbf ft")
"""Products that are written by hand and belong to no dimension of a build sheet."""
_PLAIN = tuple(unit.symbol for dimension in Dimension for unit in units_of(dimension) if unit.symbol != "%")
_SYMBOLS = sorted({*_PLAIN, *_JOINED}, key=len, reverse=True)
_AFTER_NUMBER = re.compile(
    rf"(?<=[\d)]) ({'|'.join(re.escape(symbol) for symbol in _SYMBOLS)})(?![\w/'’]|-\w)"
)
_POWER = re.compile(r"(?<=[a-z])[23]\b")
_TIMES = re.compile(r"(?<=[\w²³°]) x (?=\d)")
_MINUS = re.compile(r"(?<![\w.)-])-(?=[\d.])")


def typeset(text: str) -> str:
    """Set units, minus signs and crosses of numbers; words stay as they are.

    Examples
    --------
    >>> typeset("234 cm2 at 15 deg, 22 degC").replace("\N{NARROW NO-BREAK SPACE}", "_")
    '234_cm² at 15°, 22_°C'
    >>> typeset("demo-k500, -41 mm, 168 mm x 168 mm").replace("\N{NARROW NO-BREAK SPACE}", "_")
    'demo-k500, −41_mm, 168_mm × 168_mm'
    """
    said = _AFTER_NUMBER.sub(lambda found: _unit(found[1]), text)
    return _MINUS.sub("−", _TIMES.sub(" × ", said))


def _unit(symbol: str) -> str:
    if symbol == "deg":
        return _WHOLE[symbol]
    raised = _POWER.sub(lambda power: power[0].translate(_RAISED), _WHOLE.get(symbol, symbol))
    return _THIN + raised.replace(" ", "·")
