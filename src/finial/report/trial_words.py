"""Changes that were tried, in words: what to write, that the finding then goes, and what else it moves."""

from collections.abc import Callable, Mapping, Sequence

from finial.core.dimensions import Dimension
from finial.findings.finding import Change, Facts, Moved, Subject, Trial
from finial.report.shown import Shown
from finial.report.wording.form import GROUND_TEST

TitleOf = Callable[[str, Subject, Facts, Shown], str]
_SAID = {
    "ballast": "{name} of {size} ({was} now)",
    "span": "{name} reaching {size} of their span",
    "swept span": "{name} reaching {size} of their span, their tips as much farther aft as out",
    "thickness": "{name} {size} thick ({was} now)",
    "plate": "{name} of {to}, as thick as now",
    "walls": "walls {size} of their thickness",
    "preload": "{name} rods tightened to {size} each ({was} now)",
    "less preload": "{name} rods tightened to {size} each ({was} now)",
    "pins": "{size} pins in {name} ({was} now)",
    "charge": "charges of {name} of {size} of their powder",
    "less charge": "charges of {name} of {size} of their powder",
    "canopy": "{name} of {size} ({was} now)",
    "smaller canopy": "{name} of {size} ({was} now)",
    "cord": "{name} that breaks at {size} ({was} now)",
    "longer cord": "{name} of {size} ({was} now)",
    "rail": "a rail of {size} ({was} now)",
    "guides": "the last button at {size} ({was} now)",
    "stays": "the stays that are proposed for {name}",
    "glue": "{name} glued to the part behind it",
    "ports": "{name} at {size} ({was} now)",
    "white": "the outside painted white",
    "less ballast": "{name} of {size} ({was} now)",
    "cant": "{name} canted by {size} ({was} now)",
    "forward": "{name} at {size} ({was} now)",
    "aft": "{name} at {size} ({was} now)",
    "calmer": "a wind of {size} ({was} now)",
    "upright": "a rail that leans by {size} ({was} now)",
    "people": "people {size} away ({was} now)",
    "warmer": "air of {size} ({was} now)",
    "washer": "washers of {size} under the nuts of {name} rods ({was} now)",
    "plate under nuts": "a plate of {size} under the nuts of {name} rods ({was} now)",
    "thread": "rods of {to} in place of {name}",
    "dowels": "{size} dowels behind {name} ({was} now)",
    "thrust plate": "a thrust plate of {size} ({was} now)",
    "tube glue": "the motor tube glued over {size} ({was} now)",
    "screws": "{size} screws that keep the motor in ({was} now)",
    "eye": "an eye of {to} in {name}",
    "eye washer": "a washer of {size} under the eye of {name} ({was} now)",
    "root": "roots of {name} held {size} deep ({was} now)",
    "wire": "stays of {name} of {size} of their thickness",
    "taut": "stays of {name} tightened to {size} of their preload",
    "slacker": "stays of {name} tightened to {size} of their preload",
    "battery": "{name} of {size} of its capacity",
}
_OF_A_PIECE = {"walls": "walls of {name} {size} of their thickness"}
"""Changes to some parts, where those without a name are to all."""
_BOUGHT = {"washer": "washers of {to} under the nuts of {name} rods"}
"""Changes to what was not there at all."""
_COUNTED = frozenset({"pins", "dowels", "screws"})
_OF_ONE = {"pins": "1 pin in {name} ({was} now)"}
_POWDER = frozenset({"charge", "less charge"})
SET = (
    "No single change of these suffices; a set may: finial size mend looks for one,"
    " on the page the long job “What mends it”."
)
NO_SET = "No single change of these suffices."
"""Of a caution, which size mend leaves as it is."""


def change_words(change: Change | Trial, shown: Shown) -> str:
    """Say one change with its size."""

    def written(value: float) -> str:
        if change.lever in _COUNTED:
            return f"{value:.0f}"
        is_share = change.dimension is Dimension.RATIO
        return f"{100 * value:.0f} %" if is_share else shown.plain(value, change.dimension)

    size, was = written(change.size), written(change.was)
    said = _BOUGHT.get(change.lever, _SAID[change.lever]) if change.to else _SAID[change.lever]
    if change.name:
        said = _OF_A_PIECE.get(change.lever, said)
    if change.lever in _OF_ONE and change.size == 1.0:
        said = _OF_ONE[change.lever]
    return said.format(name=change.name, size=size, was=was, to=change.to)


def trial_sentence(trial: Trial, title_of: TitleOf, shown: Shown, own: Mapping[str, str]) -> str:
    """Say a change that turns the finding, and what else it moves; ``own`` has the words of its fixes."""
    moved = [_moved(one, title_of, shown) for one in trial.moved]
    tested = f" {GROUND_TEST}" if trial.lever in _POWDER else ""
    also = "; ".join((*moved, *_no_more(trial)))
    if of_its_rule(trial):
        return f"{own[trial.name]} With that this goes; {also}."
    return f"With {change_words(trial, shown)} this goes; {also}.{tested}"


def _no_more(trial: Trial) -> tuple[str, ...]:
    """Say how far anybody looked for more."""
    if not trial.deep:
        return ("more than the quick look sees was not looked for",)
    return () if trial.moved else ("nothing else changes its verdict",)


def vain_sentence(trials: Sequence[Trial], shown: Shown, *, fails: bool) -> str:
    """Say what was tried in vain, and who looks for a set where it fails; empty where nothing was tried."""
    tried = [change_words(one, shown) for one in trials if not (one.turns or of_its_rule(one))]
    return f"Does not suffice alone: {', '.join(tried)}. {SET if fails else NO_SET}" if tried else ""


def of_its_rule(trial: Trial) -> bool:
    """Whether a change is one that the finding's own rule worked out, and says in its own words."""
    return trial.lever not in _SAID


def in_vain(fix: str) -> str:
    """Say that a change which a rule worked out was tried, and does not turn its finding."""
    return f"{fix} Tried alone, that does not suffice."


def _moved(moved: Moved, title_of: TitleOf, shown: Shown) -> str:
    title = title_of(moved.key, moved.subject, moved.facts, shown)
    if moved.now > moved.was:
        return f"but {title} is then {moved.now.words}"
    if moved.now < moved.was:
        return f"{title} goes too"
    less = moved.less or 0.0
    lost = f"{less:.2g}" if moved.dimension is None else shown.plain(abs(less), moved.dimension)
    return f"{title} {lost} {'less' if less > 0.0 else 'more'}"
