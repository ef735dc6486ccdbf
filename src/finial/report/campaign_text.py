"""A campaign's answer as text: odds first, then the scatter, what decides, what failed."""

import math

from finial.campaign.answers import CampaignAnswer, Failure, ResultScatter
from finial.campaign.asked import Asked
from finial.campaign.campaign import PROCESSORS
from finial.campaign.design import PLAIN
from finial.campaign.landing import NORMAL_KURTOSIS, Ellipse
from finial.campaign.quantiles import Odds, Quantile
from finial.campaign.rare import RareOdds
from finial.campaign.sensitivity import Decided
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.dimensions import Dimension
from finial.report.campaign_words import ASKED, TO_KNOW, advice, feared, headline
from finial.report.document import ReportSection, Table
from finial.report.layout import paragraph
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.shown import NOT_KNOWN, Shown, bearing

_SHOWN_SHARES = 6
_COUNTABLE = 0.01
"""Shares from here on are told in per cent, smaller ones as one in so many."""
_HEIGHTS = {"apogee_m", "drift_m"}
_DIMENSIONS = {
    "rail_exit_speed_m_s": Dimension.SPEED,
    "rail_exit_margin_m": Dimension.LENGTH,
    "max_alpha_rad": Dimension.ANGLE,
    "max_speed_m_s": Dimension.SPEED,
    "max_dynamic_pressure_pa": Dimension.PRESSURE,
    "landing_speed_m_s": Dimension.SPEED,
    "flight_time_s": Dimension.TIME,
}


def campaign_lines(
    name: str, answer: CampaignAnswer, *, us_units: bool, width: int = WIDTH
) -> tuple[TextLine, ...]:
    """Whole answer line by line."""
    shown = Shown(us_units=us_units)
    head = f"{name}: {answer.flights} flights, {answer.design} design, seed {answer.seed}{_flown_on(answer)}"
    lines = [TextLine(head, "heading"), *map(TextLine, paragraph(headline(answer), width))]
    for section in campaign_sections(answer, shown):
        lines += section_lines(section, width=width)
    return (*lines, *caution_lines(width=width))


def _flown_on(answer: CampaignAnswer) -> str:
    return "" if answer.rounding == PROCESSORS else f", flown on {answer.rounding}"


def campaign_sections(answer: CampaignAnswer, shown: Shown) -> tuple[ReportSection, ...]:
    """Sections of the answer."""
    return (
        ReportSection(
            key="odds",
            title="Odds",
            facts=odds_facts(answer.odds, answer.unasked),
            notes=_notes(answer),
        ),
        *_rare(answer),
        ReportSection(key="scatter", title="Scatter over all flights", tables=(_scatter(answer, shown),)),
        ReportSection(key="landings", title="Landing points", facts=_ellipse(answer.ellipse, shown)),
        ReportSection(
            key="decides",
            title="What decides",
            tables=tuple(
                _shares(_named(key, answer), found) for key, found in answer.decided.items() if found.causes
            ),
            notes=_of_the_fit(answer),
        ),
        ReportSection(key="failures", title="Failures", tables=(_failures(answer.failures, shown),)),
    )


def _rare(answer: CampaignAnswer) -> tuple[ReportSection, ...]:
    if not answer.rare:
        return ()
    facts = tuple((feared(one.asked), rare_words(one)) for one in answer.rare)
    note = (
        "From flights led level by level towards what is feared (subset simulation), bounds of about 95 %;"
        " canopies fail by the odds that the sheet gives them. What lies behind a gap that no such flight"
        " crossed is missed."
    )
    return (ReportSection(key="rare", title="Odds too small to count", facts=facts, notes=(note,)),)


def rare_words(found: RareOdds) -> str:
    """Share of the flights with its bounds, as one in so many.

    Examples
    --------
    >>> rare_words(RareOdds(asked=Asked.OVER_CEILING, share=2e-5, low=1e-5, high=4e-5, flights=9000))
    '1 in 50,000 (between 1 in 100,000 and 1 in 25,000; 9000 flights)'
    """
    if found.share is None:
        return f"none came there: fewer than {_one_in(found.high)} ({found.flights} flights)"
    low = _one_in(found.low) if found.low > 0.0 else "none"
    bounds = f"between {low} and {_one_in(found.high)}"
    return f"{_one_in(found.share)} ({bounds}; {found.flights} flights)"


def _one_in(share: float) -> str:
    if share >= _COUNTABLE:
        return f"{100 * share:.1f} %"
    many = 1.0 / share
    step = 10 ** (math.floor(math.log10(many)) - 1)
    return f"1 in {step * round(many / step):,.0f}"


def _notes(answer: CampaignAnswer) -> tuple[str, ...]:
    bounds = "No bounds: they hold for plain random flights only. Fly again with --design plain for them."
    if answer.design == PLAIN:
        bounds = (
            "Bounds are 95 % Clopper-Pearson, for the spread that the sheet and its usual values describe."
        )
    beside = "No odds enter the verdict of the whole check: weigh them beside it."
    lost = next((one.count for one in answer.odds if one.asked == Asked.LOST), 0)
    spoiled = f"What {lost} lost flights did after the rail is not to be used, and is left out below; where"
    return (bounds, beside, f"{spoiled} they come down is not known.") if lost else (bounds, beside)


def odds_facts(odds: tuple[Odds, ...], unasked: tuple[Asked, ...]) -> tuple[tuple[str, str], ...]:
    """Say how flights end, and what cannot be told."""
    return (*map(_odds, odds), *map(_unknown, unasked))


def _odds(found: Odds) -> tuple[str, str]:
    counted = f"{found.count} of {found.flights} flights"
    return ASKED[found.asked], f"{share_words(found)} ({counted})"


def _unknown(asked: Asked) -> tuple[str, str]:
    return ASKED[asked], f"{NOT_KNOWN}: {TO_KNOW[asked]}"


def share_words(found: Odds) -> str:
    """Share in per cent with its bounds.

    Examples
    --------
    >>> share_words(Odds(asked="lands", count=970, flights=1000, low=0.9575, high=0.9797))
    '97.0 %, 95.8 to 98.0'
    """
    bounds = (
        ""
        if found.low is None or found.high is None
        else f", {100 * found.low:.1f} to {100 * found.high:.1f}"
    )
    return f"{100 * found.share:.1f} %{bounds}"


def _scatter(answer: CampaignAnswer, shown: Shown) -> Table:
    return Table(
        title="",
        columns=("what", "5 % below", "half below", "95 % below", "mean"),
        rows=tuple(_scatter_row(one, shown) for one in answer.scatters),
        numbers=(1, 2, 3, 4),
    )


def _scatter_row(one: ResultScatter, shown: Shown) -> tuple[str, ...]:
    cells = (_quantile(one.key, found, shown) for found in one.quantiles)
    return one.name, *cells, value_words(one.key, one.mean, shown)


def _quantile(key: str, found: Quantile, shown: Shown) -> str:
    value = value_words(key, found.value, shown)
    if found.low is None or found.high is None:
        return value
    low, high = (value_words(key, end, shown) for end in (found.low, found.high))
    return f"{value} ({low.rsplit(' ', 1)[0]} to {high.rsplit(' ', 1)[0]})"


def value_words(key: str, value: float, shown: Shown) -> str:
    """Write a result's value with its unit."""
    if key in _HEIGHTS:
        return shown.height(value)
    if key in ("max_acceleration_m_s2", "max_canopy_acceleration_m_s2"):
        return f"{value / STANDARD_GRAVITY_M_S2:.1f} g"
    return shown.plain(value, _DIMENSIONS[key])


def _ellipse(found: Ellipse | None, shown: Shown) -> tuple[tuple[str, str], ...]:
    if found is None:
        return (("ellipse", "none: too few landing points, or all on one line"),)
    east, north = found.centre_m
    along, across = found.half_axes_m
    holds = f"{100 * found.held:.1f} % of the flights, meant for {100 * found.nominal:.0f} %"
    tails = f"{found.kurtosis:.1f}; {NORMAL_KURTOSIS:.0f} would be normal scatter, more means longer tails"
    return (
        (
            "middle",
            f"{shown.height(math.hypot(east, north))} from the pad at {bearing(math.atan2(east, north))}",
        ),
        (
            "half axes",
            f"{shown.height(along)} along {bearing(found.bearing_rad)}, {shown.height(across)} across",
        ),
        ("really holds", holds),
        ("kurtosis", tails),
    )


def _named(key: str, answer: CampaignAnswer) -> str:
    return next((one.name for one in answer.scatters if one.key == key), key)


def _of_the_fit(answer: CampaignAnswer) -> tuple[str, ...]:
    """Say what the shares are, and what none of them tells."""
    if not answer.decided:
        return ("Too few flights to say.",)
    shares = (
        "Share of the variance that is due to each number: what it does alone, and half of what it does only"
        " together with another; with a 95 % interval. What may have no share at all is not listed."
    )
    missed = "; ".join(
        f"{_named(key, answer)} {100 * min(found.missed, 1.0):.0f} %" for key, found in answer.decided.items()
    )
    return (
        shares,
        f"Missed by the fit behind the shares (gusts, and what three numbers do together): {missed}.",
    )


def _shares(name: str, found: Decided) -> Table:
    rows = (
        (
            one.draw.name,
            f"{100 * one.share:.0f} %",
            f"{100 * one.low:.0f} to {100 * one.high:.0f} %",
            advice(one.draw),
        )
        for one in found.causes[:_SHOWN_SHARES]
        if one.share >= 0.005
    )
    return Table(
        title=name, columns=("number", "share", "interval", "to settle it"), rows=tuple(rows), numbers=(1, 2)
    )


def _failures(failures: tuple[Failure, ...], shown: Shown) -> Table:
    rows = (
        (
            one.what,
            str(one.flights),
            "none landed" if one.farthest_m is None else shown.height(one.farthest_m),
            "" if one.fastest_m_s is None else shown.speed(one.fastest_m_s),
        )
        for one in failures
    )
    return Table(
        title="",
        columns=("what", "flights", "farthest from the pad", "hardest landing"),
        rows=tuple(rows),
        numbers=(1, 2, 3),
    )
