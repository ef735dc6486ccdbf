"""Small pieces of pictures and files on records of a few numbers."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from finial.electronics.rates import PartKind
from finial.electronics.wiring import FailingPart
from finial.flight.trace import EventKind
from finial.report import begun_text, campaign_files, search_text
from finial.report.lines import TextLine, caution_lines
from finial.report.pictures import firing_paths, log_traces
from finial.sizing.misses import Missed


def test_a_push_is_drawn_along_the_axis_and_until_a_canopy_is_out() -> None:
    pushes = np.array([[30.0, 1.0, 2.0], [20.0, 1.0, 2.0], [10.0, 1.0, 2.0]])
    trace: Any = SimpleNamespace(
        times_s=np.array([0.0, 1.0, 2.0]),
        accelerations_m_s2=pushes,
        events=(
            SimpleNamespace(kind=EventKind.APOGEE, time_s=0.5),
            SimpleNamespace(kind=EventKind.OUT, time_s=1.0),
        ),
    )
    np.testing.assert_array_equal(log_traces._push_of(trace), [30.0, 20.0, np.nan])
    whole: Any = SimpleNamespace(times_s=trace.times_s, accelerations_m_s2=pushes, events=())
    assert log_traces._push_of(whole).tolist() == [30.0, 20.0, 10.0]


@pytest.mark.parametrize(
    ("key", "name"),
    [
        ("apogee_m", "apogee"),
        ("rail_exit_speed_m_s", "rail-exit-speed"),
        ("max_alpha_rad", "max-alpha"),
        ("under_canopy", "under-canopy"),
    ],
)
def test_a_file_is_called_as_its_result_without_the_unit(key: str, name: str) -> None:
    assert campaign_files._plain_name(key) == name


def test_how_far_designs_were_off_is_told_number_by_number_or_not_at_all() -> None:
    off = Missed(designs=3, typical=0.1, largest=0.2, typical_missing=0.3, largest_missing=0.4, better=2)
    assert search_text._off_plain(off) == {
        "designs": 3,
        "typical": 0.1,
        "largest": 0.2,
        "typical_missing": 0.3,
        "largest_missing": 0.4,
        "better": 2,
    }
    assert search_text._off_plain(None) is None


def test_a_switch_that_fails_alone_has_a_bold_edge() -> None:
    """Two in series side by side: a box of their width in two, each 0.3 mm within its half."""
    alone = FailingPart(kind=PartKind.SWITCH, name="key")
    drawing: Any = SimpleNamespace(
        rows={(PartKind.COMPUTER, "one"): 0}, middle=lambda *_of: (0.0, 50.0), alone={alone}
    )
    told = firing_paths._arming(drawing, "one", (("key",), ("pin",)))
    assert told.count('stroke-width="0.8"') == told.count('stroke-width="0.25"') == 1
    assert told.index('stroke-width="0.8"') < told.index("key") < told.index('stroke-width="0.25"')


def test_a_sheet_that_is_only_begun_ends_with_the_caution(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(begun_text, "verdict_lines", lambda begun, *, width: [TextLine(text="verdict")])
    monkeypatch.setattr(begun_text, "findings_lines", lambda findings, shown, *, width: [])
    begun: Any = SimpleNamespace(us_units=False, findings=())
    told = begun_text.begun_lines(begun, (), width=80)
    assert told == (TextLine(text="verdict"), *caution_lines(width=80))
    assert len(told) > 3
