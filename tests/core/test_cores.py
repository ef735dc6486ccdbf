"""How many cores a process may use: those that it is held to, else all there are."""

import os

import pytest

from finial.core.cores import usable_cores


def test_a_process_held_to_some_cores_uses_those(monkeypatch):
    monkeypatch.setattr(os, "sched_getaffinity", lambda _process: {1, 4, 6}, raising=False)
    assert usable_cores() == 3


@pytest.mark.parametrize(("there", "usable"), [(8, 8), (None, 1)])
def test_where_nothing_holds_it_all_cores_are_used_and_one_where_nobody_knows(monkeypatch, there, usable):
    monkeypatch.delattr(os, "sched_getaffinity", raising=False)
    monkeypatch.setattr(os, "cpu_count", lambda: there)
    assert usable_cores() == usable
