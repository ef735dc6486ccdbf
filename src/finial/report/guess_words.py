"""The guesses that decide, in the builder's units: what, how wide, what it moves, what settles it."""

from dataclasses import dataclass

from finial.core.dimensions import Dimension
from finial.findings.guess import Guess, GuessKind
from finial.report.shown import Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class GuessWords:
    """One guess in words."""

    what: str
    interval: str
    effect: str
    advice: str


def guess_words(guess: Guess, shown: Shown) -> GuessWords:
    """Say a guess."""
    return GuessWords(
        what=_what(guess, shown),
        interval=_interval(guess, shown),
        effect=_effect(guess, shown),
        advice=_ADVICE[guess.kind].format(name=guess.name),
    )


_ADVICE = {
    GuessKind.MASS: "weigh {name}",
    GuessKind.PLACE: "measure where {name} sits",
    GuessKind.STEP: "draw the step gentler, or keep more margin",
    GuessKind.AIR: "keep more margin: ballast near the tip, or larger fins",
    GuessKind.WIND: "measure the wind at the pad and aloft before the flight",
}


def reason_words(name: str, step_m: float | None, gathered: int, shown: Shown) -> str:
    """Why the pressure band has width."""
    if step_m is not None:
        return f"step at {shown.length(step_m)}"
    return f"{gathered} {name}" if gathered else name


def _what(guess: Guess, shown: Shown) -> str:
    if guess.kind in (GuessKind.MASS, GuessKind.PLACE):
        return f"{guess.name} ({guess.known_by.word})"
    if guess.kind is GuessKind.WIND:
        return "wind of the day"
    return f"air: {reason_words(guess.name, guess.step_m, guess.gathered, shown)}"


def _interval(guess: Guess, shown: Shown) -> str:
    if guess.kind is GuessKind.WIND:
        return shown.between(guess.wind, Dimension.WIND_SPEED)
    if guess.reach_m is not None:
        forward, aft = (shown.length(metres) for metres in guess.reach_m)
        return f"{forward} forward to {aft} aft"
    mass = shown.between(guess.mass, Dimension.MASS)
    return mass if guess.station is None else f"{mass} at {shown.between(guess.station, Dimension.LENGTH)}"


def _effect(guess: Guess, shown: Shown) -> str:
    if guess.kind is GuessKind.WIND:
        return f"moves the landing point by {shown.length(guess.moves_m)} either way"
    if guess.reach_m is not None:
        return f"takes {shown.length(guess.moves_m)} off the worst margin"
    return f"moves the margin by {shown.length(guess.moves_m)} either way"
