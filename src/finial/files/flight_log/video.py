"""Frames of a video that show what happened: a log of events, in a small TOML file."""

from itertools import pairwise
from pathlib import Path
from typing import Annotated, Self

from pydantic import Field, model_validator

from finial.core.errors import LogError
from finial.core.units import Quantity
from finial.files.faults import read_record
from finial.files.fields import Record, SomeRatio, Text, refusal

VIDEO_ENDING = ".toml"
Frame = Annotated[int, Field(ge=0, le=100_000_000)]
_ORDER = ("lift_off", "rail_exit", "burnout", "apogee", "landing")
"""What comes after what in every flight; a canopy may come out before the top or after it."""


class Frames(Record):
    """Number of the frame that first shows it."""

    lift_off: Frame
    """It moves."""
    rail_exit: Frame | None = None
    """Nothing holds it any more."""
    burnout: Frame | None = None
    """The flame goes out."""
    apogee: Frame | None = None
    """It turns over."""
    separation: Frame | None = None
    """The joint opens, or a puff shows the charge."""
    canopy_full: Frame | None = None
    """The first canopy stands open."""
    landing: Frame | None = None
    """It touches the ground."""

    @model_validator(mode="after")
    def _tells_something_in_order(self) -> Self:
        told = [(name, getattr(self, name)) for name in type(self).model_fields]
        later = [(name, frame) for name, frame in told[1:] if frame is not None]
        if not later:
            raise refusal("lift_off alone", "at least one frame of something after it")
        early = next((name for name, frame in later if frame <= self.lift_off), None)
        if early:
            raise refusal(f"{early} at or before lift_off", "frames after lift-off's")
        ranked = [(name, getattr(self, name)) for name in _ORDER if getattr(self, name) is not None]
        for (name, frame), (other, after) in pairwise(ranked):
            if after <= frame:
                raise refusal(f"{other} at or before {name}", f"{name} before {other}")
        return self


class Video(Record):
    """Frames of one video of the flight."""

    note: Text = ""
    """For whoever opens the file; nothing is computed from it."""
    frames_per_second: SomeRatio
    """Of the video as recorded: 240 for one in slow motion, whatever it is played at."""
    give_or_take: SomeRatio = Quantity(value=1.0, text="1")
    """Frames that each number may be off by."""
    frame: Frames


def is_video(path: Path) -> bool:
    """Whether a file's ending says that it holds a video's frames and no rows."""
    return path.suffix.casefold() == VIDEO_ENDING


def read_video(path: Path) -> Video:
    """Read what a video's frames show.

    Raises
    ------
    LogError
        With all faults in it: keys unknown or missing, frames out of order.
    """
    return read_record(path, Video, LogError)[0]
