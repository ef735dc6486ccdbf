r"""Arming switches in series and in parallel: what they buy and what they cost.

An arming network is a row of groups: every group must conduct, and a group conducts if one of
its switches does. In series a stuck switch costs the flight and guards the people; in parallel
it is the other way round.
"""

from collections.abc import Sequence
from math import prod

from finial.core.errors import OutsideRange

Network = Sequence[Sequence[float]]
"""Odds of every switch, group by group [-]."""


def odds_of_no_arming(fails_open: Network) -> float:
    r"""Odds that an arming network stays open when all its switches were closed.

    .. math::  1 - \prod_g \Big( 1 - \prod_{s \in g} q_s \Big)

    Parameters
    ----------
    fails_open : sequence of sequences of float
        Odds that each switch does not close, group by group in series, in parallel within a group [-].

    Returns
    -------
    odds : float
        Odds that the computer gets no power [-]; 0 without a switch.

    Raises
    ------
    OutsideRange
        If a number is no probability, or a group is empty.

    Notes
    -----
    Exact for independent switches; one pad, one pair of hands and one cold morning are not.

    References
    ----------
    .. [1] Reliability block diagrams, IEC 61078; from memory, not re-read.

    Examples
    --------
    Two pull pins at 3 % each, in parallel and in series:

    >>> round(odds_of_no_arming([[0.03, 0.03]]), 6), round(odds_of_no_arming([[0.03], [0.03]]), 6)
    (0.0009, 0.0591)
    """
    _require_network(fails_open)
    return 1 - prod(1 - prod(group) for group in fails_open)


def odds_of_unasked_arming(fails_closed: Network) -> float:
    r"""Odds that an arming network conducts although no switch was closed.

    .. math::  \prod_g \Big( 1 - \prod_{s \in g} (1 - c_s) \Big)

    Parameters
    ----------
    fails_closed : sequence of sequences of float
        Odds that each switch closes unasked, group by group in series, in parallel within a group [-].

    Returns
    -------
    odds : float
        Odds that the computer is live with people beside it [-]; 1 without a switch.

    Raises
    ------
    OutsideRange
        If a number is no probability, or a group is empty.

    Notes
    -----
    Exact for independent switches.

    References
    ----------
    .. [1] Reliability block diagrams, IEC 61078; from memory, not re-read.

    Examples
    --------
    Two pull pins at 0.5 % each, in parallel and in series:

    >>> both = odds_of_unasked_arming([[0.005, 0.005]]), odds_of_unasked_arming([[0.005], [0.005]])
    >>> [round(odds, 9) for odds in both]
    [0.009975, 2.5e-05]
    """
    _require_network(fails_closed)
    return prod(1 - prod(1 - odds for odds in group) for group in fails_closed)


def _require_network(network: Network) -> None:
    for group in network:
        if not group:
            raise OutsideRange("an arming group without a switch: leave the group out")
        for odds in group:
            if not 0 <= odds <= 1:
                raise OutsideRange(f"{odds} is no probability: give a number from 0 to 1 (0.03, not 3)")
