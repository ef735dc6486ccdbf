"""Halving, the front and the search, against answers known in closed form."""

import errno
import math
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from finial.core.dimensions import Dimension
from finial.core.errors import CampaignError, NotConverged, OutsideRange
from finial.core.units import parse_quantity
from finial.sizing.front import undominated
from finial.sizing.judged import Aim, Judged
from finial.sizing.least import least_enough
from finial.sizing.search import Search, best_go, cost
from finial.sizing.variables import Variable, changing


def test_least_enough_is_the_root():
    value, asked = least_enough(lambda x: math.exp(x) - 3.0, 0.0, 4.0, 1e-9)
    assert value == pytest.approx(math.log(3.0), abs=1e-9)
    assert math.exp(value) >= 3.0
    assert asked < 40


def test_the_low_end_may_be_enough_already():
    assert least_enough(lambda x: x + 1.0, 0.0, 4.0, 0.1) == (0.0, 2)


@pytest.mark.parametrize(
    ("spare", "root"),
    [
        (lambda x: math.copysign(1.0, x - 1.7), 1.7),
        (lambda x: math.inf if x >= 1.7 else -1.0, 1.7),
        (lambda x: (x - 2.0) ** 3, 2.0),
        (lambda x: 1.0 - 0.01 / x, 0.01),
        (lambda x: math.tanh(1e4 * (x - 0.3)), 0.3),
    ],
)
def test_odd_shapes_cost_one_question_more_than_halving_at_most(spare, root):
    """Bound of the method: Oliveira and Takahashi (2020), from memory, not re-read."""
    value, asked = least_enough(spare, 0.001, 5.0, 1e-6)
    assert root - 1e-12 <= value <= root + 1e-6
    assert spare(value) >= 0.0
    assert asked <= 2 + math.ceil(math.log2(4.999e6)) + 1


def test_smooth_shapes_cost_far_less_than_halving():
    _, asked = least_enough(lambda x: math.exp(x) - 3.0, 0.0, 4.0, 1e-9)
    assert asked < 15


@pytest.mark.parametrize("ends", [(1.0, 1.0, 0.1), (2.0, 1.0, 0.1), (0.0, 1.0, 0.0)])
def test_empty_intervals_are_refused(ends):
    with pytest.raises(OutsideRange):
        least_enough(lambda x: x, *ends)


def test_too_little_everywhere_is_said_so():
    with pytest.raises(OutsideRange, match=r"even 4 is not enough: 1 is still missing"):
        least_enough(lambda x: x - 5.0, 0.0, 4.0, 0.1)


def test_answers_that_are_no_number_are_refused():
    with pytest.raises(NotConverged, match="not a number"):
        least_enough(lambda _x: math.nan, 0.0, 4.0, 0.1)


def test_front_of_a_circle_is_its_lower_left_quarter():
    angles = np.linspace(0.0, 2.0 * np.pi, 361)[:-1]
    marked = undominated(np.column_stack([np.cos(angles), np.sin(angles)]))
    assert np.degrees(angles[marked]).min() == pytest.approx(180.0)
    assert np.degrees(angles[marked]).max() == pytest.approx(270.0)
    assert marked.sum() == 91


def test_equal_designs_are_both_kept_and_broken_ones_never():
    assert undominated([[1.0, 1.0], [1.0, 1.0], [np.nan, 0.0]]).tolist() == [True, True, False]
    with pytest.raises(OutsideRange):
        undominated([1.0, 2.0])


VARIABLES = (
    Variable(kind="ballast", name="lead", low=0.5, high=3.0),
    Variable(kind="span", name="fins", low=0.5, high=1.5),
    Variable(kind="count", name="fins", low=3.0, high=6.0),
)


class Judging:
    """Closed form: mass = ballast + 0.5 span count; go when 2 ballast + 1.5 span count >= 8.

    A kilogram of fin is worth three units of margin, one of ballast two. The lightest go has the least
    ballast, 0.5 kg, and span count = 14 / 3: mass 0.5 + 7 / 3 kg; calculated.
    """

    def __init__(self, stop_after=None):
        self.count, self.stop_after = 0, stop_after

    def __call__(self, points):
        for lead_kg, span, count in points:
            if self.count == self.stop_after:
                raise KeyboardInterrupt
            self.count += 1
            fin = span * count
            missing = max(0.0, 8.0 - 2.0 * lead_kg - 1.5 * fin)
            yield Judged(mass_kg=lead_kg + 0.5 * fin, missing=missing, is_go=missing == 0.0)


def test_search_finds_the_best_go(tmp_path):
    found = best_go(Search(variables=VARIABLES, generations=30), Judging(), tmp_path / "n.jsonl")
    assert found.judged.is_go
    assert found.judged.mass_kg == pytest.approx(0.5 + 7.0 / 3.0, abs=0.02)
    assert found.point[0] == pytest.approx(0.5, abs=0.05)


def test_search_stopped_in_the_middle_ends_with_the_same_answer(tmp_path):
    straight, search = Judging(), Search(variables=VARIABLES, generations=8)
    expected = best_go(search, straight, tmp_path / "straight.jsonl")
    path = tmp_path / "stopped.jsonl"
    with pytest.raises(KeyboardInterrupt):
        best_go(search, Judging(stop_after=50), path)
    # As if killed while writing: the last line is cut short.
    path.write_bytes(path.read_bytes() + b'{"point": [0.5, 1.0')
    rest = Judging()
    found = best_go(search, rest, path)
    assert found == expected
    assert rest.count == straight.count - 50


@pytest.mark.parametrize("room_bytes", [20, 1000])
def test_a_full_disk_loses_no_judged_design(tmp_path, monkeypatch, room_bytes):
    """The disk fills within a line: of the head, or of a design."""
    path, search = tmp_path / "n.jsonl", Search(variables=VARIABLES, generations=4)
    real = Path.open

    class Filling:
        def __init__(self, file):
            self.file = file

        def __enter__(self):
            return self

        def __exit__(self, *_):
            self.file.close()

        def write(self, text):
            room = room_bytes - path.stat().st_size
            self.file.write(text[:room])
            if len(text) > room:
                raise OSError(errno.ENOSPC, "No space left on device")

        def flush(self):
            self.file.flush()

        def fileno(self):
            return self.file.fileno()

    monkeypatch.setattr(
        Path,
        "open",
        lambda self, mode="r", **how: (Filling if mode == "a" else lambda f: f)(real(self, mode, **how)),
    )
    first = Judging()
    with pytest.raises(CampaignError, match="the disk is full"):
        best_go(search, first, path)
    monkeypatch.undo()
    assert path.stat().st_size == room_bytes
    noted = [line for line in path.read_text().splitlines()[1:] if line.endswith("}")]
    assert len(noted) == max(first.count - 1, 0)
    second, whole = Judging(), Judging()
    assert best_go(search, second, path) == best_go(search, whole, tmp_path / "whole.jsonl")
    assert second.count == whole.count - len(noted)
    third = Judging()
    best_go(search, third, path)
    assert third.count == 0


def test_more_generations_go_on_from_what_is_noted(tmp_path):
    first, second = Judging(), Judging()
    best_go(Search(variables=VARIABLES, generations=4), first, tmp_path / "n.jsonl")
    best_go(Search(variables=VARIABLES, generations=8), second, tmp_path / "n.jsonl")
    whole = Judging()
    best_go(Search(variables=VARIABLES, generations=8), whole, tmp_path / "m.jsonl")
    assert first.count + second.count == whole.count


@pytest.mark.parametrize("other", [{"seed": 2}, {"about": "another vehicle"}, {"variables": VARIABLES[:2]}])
def test_another_search_is_never_mixed_in(tmp_path, other):
    settings = {"variables": VARIABLES, "generations": 1}
    best_go(Search(**settings), Judging(), tmp_path / "n.jsonl")
    with pytest.raises(CampaignError, match="belongs to another search"):
        best_go(Search(**{**settings, **other}), Judging(), tmp_path / "n.jsonl")


def test_nothing_that_goes_is_said_so(tmp_path):
    def never(designs):
        return [Judged(mass_kg=1.0, missing=2.0, is_go=False) for _ in designs]

    found = best_go(Search(variables=VARIABLES, generations=1), never, tmp_path / "n.jsonl")
    assert not found.judged.is_go


def test_a_no_go_never_beats_a_go():
    heavy = Judged(mass_kg=50.0, missing=0.0, is_go=True)
    assert cost(heavy) < cost(Judged(mass_kg=1.0, missing=0.001, is_go=False))
    low, high = (
        replace(heavy, apogee_m=50.0),
        Judged(mass_kg=1.0, missing=0.001, is_go=False, apogee_m=9000.0),
    )
    assert cost(low, Aim.HIGHEST) < cost(high, Aim.HIGHEST)


def test_a_notebook_that_cannot_be_written_is_said_so(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(CampaignError, match="cannot be made or written to"):
        best_go(Search(variables=VARIABLES), Judging(), tmp_path / "file" / "n.jsonl")


def test_a_note_with_another_number_than_was_noted_is_judged_again(tmp_path):
    search, path = Search(variables=VARIABLES, generations=1), tmp_path / "n.jsonl"
    whole = best_go(search, Judging(), path)
    head, second, *rest = path.read_text().splitlines()
    assert '"is_go": ' in second
    flipped = second.replace("true", "false") if "true" in second else second.replace("false", "true")
    path.write_text("\n".join([head, flipped, *rest]) + "\n")
    again = Judging()
    assert best_go(search, again, path) == whole
    assert again.count == 1


def test_two_searches_in_one_folder_at_once_are_refused(tmp_path):
    search = Search(variables=VARIABLES, generations=1)

    def beside(designs):
        with pytest.raises(CampaignError, match="another run writes to"):
            best_go(search, Judging(), tmp_path / "n.jsonl")
        return Judging()(designs)

    best_go(search, beside, tmp_path / "n.jsonl")


@pytest.mark.parametrize(
    "given", [("colour", "", 1.0, 2.0), ("span", "fins", 2.0, 1.0), ("rail", "", -1.0, 2.0)]
)
def test_variables_that_cannot_be_are_refused(given):
    kind, name, low, high = given
    with pytest.raises(OutsideRange):
        Variable(kind=kind, name=name, low=low, high=high)


def test_a_point_becomes_changes_in_steps_a_builder_can_make():
    item = SimpleNamespace(
        name="lead", mass=SimpleNamespace(tolerance=0.0), sides=None, bore=None, across=None
    )
    outline = ((mm("0 mm"), mm("0 mm")), (mm("10 mm"), mm("80 mm")))
    sheet = SimpleNamespace(item=(item,), fin=(SimpleNamespace(name="fins", outline=outline),))
    assert changing(SimpleNamespace(sheet=sheet), VARIABLES)((1.2374, 1.0962, 4.6)) == {
        ("item", 0, "mass"): "1235 g",
        ("fin", 0, "outline"): [["0 mm", "0 mm"], ["10 mm", "88 mm"]],
        ("fin", 0, "count"): 5,
    }


def mm(text):
    return parse_quantity(text, Dimension.LENGTH)


def test_nothing_to_vary_is_refused(tmp_path):
    with pytest.raises(OutsideRange):
        best_go(Search(variables=()), Judging(), Path(tmp_path) / "n.jsonl")
