"""Frames of a video as a log of events: read, and refused where they cannot be."""

import pytest

from finial.core.errors import LogError
from finial.files.flight_log.video import is_video, read_video

FRAMES = "frames_per_second = 29.97\n[frame]\nlift_off = 412\nburnout = 502\napogee = 742\nlanding = 5480\n"


def video(tmp_path, text):
    path = tmp_path / "ground.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_frames_are_read(tmp_path):
    path = video(tmp_path, FRAMES)
    assert is_video(path)
    found = read_video(path)
    assert (found.frame.lift_off, found.frame.separation, found.frame.landing) == (412, None, 5480)
    assert found.frames_per_second.value == 29.97
    assert found.give_or_take.value == 1.0


HOSTILE = [
    ("", "frames_per_second"),
    (FRAMES.replace("29.97", "0"), "frames_per_second"),
    (FRAMES.replace("29.97", '"fast"'), "fast"),
    (FRAMES.replace("lift_off = 412\n", ""), "lift_off"),
    (FRAMES.replace("412", "-1"), "-1"),
    (FRAMES.replace("412", "412.5"), "412.5"),
    (FRAMES.replace("burnout = 502", "burnout = 400"), "burnout at or before lift_off"),
    (FRAMES.replace("apogee = 742", "apogee = 450"), "apogee at or before burnout"),
    (FRAMES.partition("burnout")[0], "lift_off alone"),
    (FRAMES + "splash = 3\n", "splash"),
    ("frames = \n", "ground.toml:1"),
]


@pytest.mark.parametrize(("text", "words"), HOSTILE)
def test_hostile_frames_are_refused_with_words(tmp_path, text, words):
    path = video(tmp_path, text)
    with pytest.raises(LogError) as caught:
        read_video(path)
    assert words in str(caught.value)
    assert str(path) in str(caught.value)
