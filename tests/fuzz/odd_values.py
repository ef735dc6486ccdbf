"""Values that no builder writes on purpose, and sheets with some of them put in."""

import copy
import json
import re
from typing import Any

from hypothesis import strategies as st

NASTY: list[Any] = [
    "",
    "-",
    " ",
    "nan mm",
    "inf kg",
    "1e999 mm",
    "1e-40 mm",
    "0 mm",
    "-5 mm",
    "1e12 g",
    "1e-12 g",
    "1e9 V",
    "1e9 m",
    "1e9 m/s",
    "-40 degC",
    "1e6 degC",
    "360 deg",
    "1e9 deg",
    "100 %",
    "1e9 %",
    "0",
    "1e300",
    "x" * 300,
    "\x1b[2JGo",
    "\u202eoG",
    "../../../etc/passwd",
    "/dev/zero",
    0,
    1,
    -1,
    2,
    10**6,
    10**18,
    1e308,
    float("nan"),
    float("inf"),
    True,
    False,
    [],
    [[]],
    [[], []],
    ["0 mm"],
    ["0 mm", "0 mm"],
    {},
    [{}],
]
_NUMBER = re.compile(r"\d+\.?\d*")


def paths(values: Any, path: tuple = ()) -> list[tuple]:
    """Every place in nested tables and lists."""
    found: list[tuple] = [path] if path else []
    pairs = list(values.items()) if isinstance(values, dict) else []
    pairs = list(enumerate(values)) if isinstance(values, list) else pairs
    for key, inner in pairs:
        found += paths(inner, (*path, key))
    return found


@st.composite
def changed(draw, values: dict[str, Any], most: int = 3) -> dict[str, Any]:
    """The values with one or more of them taken out, scaled, swapped or made nasty."""
    made = copy.deepcopy(values)
    for _ in range(draw(st.integers(1, most))):
        places = paths(made)
        if not places:
            break
        *above, last = draw(st.sampled_from(places))
        table: Any = made
        for step in above:
            table = table[step]
        match draw(st.sampled_from(["out", "scale", "swap", "nasty", "twice"])):
            case "out":
                del table[last]
            case "scale":
                table[last] = _scaled(table[last], 10.0 ** draw(st.integers(-6, 6)))
            case "swap":
                table[last] = copy.deepcopy(_at(made, draw(st.sampled_from(places))))
            case "twice" if isinstance(table, list):
                table.insert(last, copy.deepcopy(table[last]))
            case _:
                table[last] = copy.deepcopy(draw(st.sampled_from(NASTY)))
    return made


def _at(values: Any, path: tuple) -> Any:
    for step in path:
        values = values[step] if not isinstance(values, list) or step < len(values) else 0
    return values


def _scaled(value: Any, factor: float) -> Any:
    if isinstance(value, str):
        return _NUMBER.sub(lambda found: f"{float(found[0]) * factor:g}", value, count=1)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    return type(value)(value * factor)


def toml_of(values: dict[str, Any]) -> str:
    """Write tables as TOML, one line a table: layout does not matter to a reader."""
    return "".join(f"{_key(key)} = {_inline(value)}\n" for key, value in values.items())


def _inline(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(key)} = {_inline(inner)}" for key, inner in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(_inline, value)) + "]"
    if isinstance(value, float):
        return repr(value)
    return json.dumps(value, ensure_ascii=True)


def _key(name: str) -> str:
    return json.dumps(name)


@st.composite
def bitten(draw, content: bytes) -> bytes:
    """Bytes with pieces of them changed, cut out, doubled or put in."""
    made = bytearray(content)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(made)))
        size = draw(st.integers(1, 40))
        match draw(st.sampled_from(["flip", "cut", "end", "double", "put", "zero"])):
            case "flip" if at < len(made):
                made[at] ^= draw(st.integers(1, 255))
            case "cut":
                del made[at : at + size]
            case "end":
                del made[at:]
            case "double":
                made[at:at] = made[at : at + size]
            case "zero":
                made[at : at + size] = bytes(len(made[at : at + size]))
            case _:
                made[at:at] = draw(st.binary(max_size=40))
    return bytes(made)
