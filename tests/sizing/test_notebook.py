"""The notebook of a search: cut short or damaged, it loses the damaged lines and says so."""

import pytest

from finial.core.errors import CampaignError
from finial.sizing.judged import Judged
from finial.sizing.notebook import Notebook

POINTS = {
    (0.1, 0.2): Judged(mass_kg=5.25, missing=0.0, is_go=True),
    (0.3, 0.4): Judged(mass_kg=6.5, missing=1.5, is_go=False),
    (0.5, 0.6): Judged(mass_kg=7.75, missing=0.25, is_go=False),
}


@pytest.fixture
def path(tmp_path):
    notes = Notebook(tmp_path / "notes.jsonl", "search 1")
    for point, judged in POINTS.items():
        notes.note(point, judged)
    return tmp_path / "notes.jsonl"


def test_what_was_noted_is_read_again(path, caplog):
    assert Notebook(path, "search 1").known == POINTS
    assert caplog.messages == []


def test_any_changed_bit_loses_its_line_alone_and_is_said(path, caplog):
    whole = path.read_bytes()
    first = whole.index(b"\n") + 1
    for at in range(first, len(whole)):
        line = whole[:at].count(b"\n") - 1
        for bit in (0, 2, 5, 7):
            damaged = bytearray(whole)
            damaged[at] ^= 1 << bit
            path.write_bytes(damaged)
            caplog.clear()
            known = Notebook(path, "search 1").known
            assert all(POINTS[point] == judged for point, judged in known.items())
            lost = set(POINTS) - set(known)
            if damaged[at : at + 1] == b"\n" or whole[at : at + 1] == b"\n":
                assert len(lost) <= 2
            else:
                assert lost == {list(POINTS)[line]}
            if lost:
                assert "cut short or damaged" in caplog.text


def test_a_damaged_first_line_sets_the_file_aside(path, caplog):
    whole = path.read_bytes()
    path.write_bytes(whole[:5] + b"\xff" + whole[6:])
    assert Notebook(path, "search 1").known == {}
    assert "set aside" in caplog.text
    assert path.with_name("notes.jsonl.damaged").read_bytes()[5:6] == b"\xff"


def test_a_line_cut_short_is_judged_anew_and_the_next_is_whole(path):
    path.write_bytes(path.read_bytes()[:-9])
    notes = Notebook(path, "search 1")
    assert list(notes.known) == list(POINTS)[:2]
    last = list(POINTS)[2]
    notes.note(last, POINTS[last])
    assert Notebook(path, "search 1").known == POINTS


def test_another_search_is_refused(path):
    with pytest.raises(CampaignError, match="belongs to another search"):
        Notebook(path, "search 2")
