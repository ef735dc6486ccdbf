"""Carry intervals through a formula by trying the corners of its inputs."""

from collections.abc import Callable, Mapping
from itertools import product
from typing import cast

from finial.core.estimates import Estimate, KnownBy

_Formula = (
    Callable[[float], float]
    | Callable[[float, float], float]
    | Callable[[float, float, float], float]
    | Callable[[float, float, float, float], float]
    | Callable[[float, float, float, float, float], float]
    | Callable[[float, float, float, float, float, float], float]
    | Callable[..., float]
)
"""Spelled out, so that the inputs of a formula written on the spot are known to be numbers."""


def over_corners(
    function: _Formula, parts: Mapping[str, Estimate], *, method: str = "", source: str = ""
) -> Estimate:
    r"""Interval of a formula whose inputs are intervals.

    .. math::  [\min_c f(c),\ \max_c f(c)], \quad c \in \prod_i \{x_i^-, x_i^+\} \cup \{x^0\}

    Parameters
    ----------
    function : callable
        The formula; called with the names in ``parts`` as keywords, returns a float in SI units.
    parts : mapping of str to Estimate
        The inputs; an input without width costs nothing.
    method, source : str
        Kept in the result.

    Returns
    -------
    Estimate
        The value at the central inputs and the extremes over the corners; known as well
        as the weakest input, inside its range only if every input is.

    Notes
    -----
    Exact when the formula rises or falls in each input over its interval. It is then also
    the widest interval that the inputs allow, with no assumption about independence.
    Costs 2**n calls for n inputs with width.

    References
    ----------
    .. [1] Moore, Kearfott and Cloud, Introduction to Interval Analysis, SIAM 2009,
       section 5 (monotone functions); from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import spread
    >>> wide = spread(2.0, 0.5, known_by=KnownBy.ASSUMED)
    >>> over_corners(lambda a, b: a / b, {"a": wide, "b": wide}).high
    3.0
    """
    # The types above count the inputs but do not name them.
    formula = cast("Callable[..., float]", function)
    given = parts.values()
    centre = formula(**{name: part.value for name, part in parts.items()})
    ends = [(part.low,) if part.low == part.high else (part.low, part.high) for part in given]
    values = [formula(**dict(zip(parts, corner, strict=True))) for corner in product(*ends)]
    return Estimate(
        value=centre,
        low=min(centre, *values),
        high=max(centre, *values),
        known_by=max([part.known_by for part in given], default=KnownBy.COMPUTED),
        method=method,
        source=source,
        inside_range=all([part.inside_range for part in given]),
    )
