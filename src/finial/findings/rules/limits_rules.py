"""Are the builder's own limits laxer than the usual ones?"""

from finial.findings.finding import Amount, Facts, Finding, Fix, Verdict
from finial.findings.limits import Limit, Limits
from finial.findings.rule import Rule

LOWER_IS_STRICTER = frozenset(
    {
        "landing_speed",
        "landing_energy",
        "assumed_mass_share",
        "sheltered_share",
        "trim_angle",
        "rail_wind_angle",
        "rail_play_angle",
        "tip_off_angle",
        "thrust_held_angle",
        "spin_ratio",
        "continuity_over_no_fire",
    }
)
"""Limits that a value must not rise above."""
HIGHER_IS_STRICTER = frozenset(
    {
        "margin_widths",
        "margin_length",
        "rail_exit_speed",
        "rail_exit_wind_ratio",
        "two_button_travel",
        "damping_ratio",
        "thrust_to_weight",
        "thrust_to_weight_floor",
        "reserve",
        "cord_reserve",
        "flutter_ratio",
        "firing_current_ratio",
        "pad_time_ratio",
        "charge_over_pins",
        "pins_over_load",
        "backup_over_main",
    }
)
"""Limits that a value must not fall below."""

OWN = Rule(key="own-limits", stage="limits", source="the table of usual limits", safety=True)


def limits_findings(limits: Limits) -> list[Finding]:
    """Tell which limits of the sheet are laxer than those of the table, and refuse to fly by none at all."""
    if not limits.own:
        return []
    usual = Limits(own={})
    lax = [name for name in limits.own if _is_laxer(name, limits.own[name], usual[name].value)]
    none = [name for name in lax if _is_none(name, limits.own[name], usual[name].last)]
    fixes = [Fix(key="no-limit", facts={"none": ", ".join(none)})] if none else []
    fixes += [Fix(key="laxer", facts=_compared(name, limits[name], usual[name])) for name in lax]
    fixes += [Fix(key="say-why")]
    verdict = Verdict.NO_GO if none else Verdict.CAUTION if lax else Verdict.GO
    return [OWN.holds(verdict, fixes=tuple(fixes))]


def _compared(name: str, own: Limit, usual: Limit) -> Facts:
    values = {"own": own.value, "usual": usual.value}
    return {"limit": name, **{key: Amount(value=one, dimension=own.dimension) for key, one in values.items()}}


def _is_none(name: str, own: float, last: float | None) -> bool:
    """Whether what just meets the builder's own limit fails all the same."""
    return last is not None and _is_laxer(name, own, last)


def _is_laxer(name: str, own: float, usual: float) -> bool:
    slack = 1e-3 * usual
    return own > usual + slack if name in LOWER_IS_STRICTER else own < usual - slack
