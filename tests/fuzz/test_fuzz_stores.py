"""What is kept on disk, with any bytes changed: read as it was, or not at all."""

import json

import pytest
from fuzz_trial import RUN
from hypothesis import given
from hypothesis import strategies as st
from odd_values import bitten

from finial.campaign.store import MANIFEST, manifest_sum, read_manifest
from finial.files.kept import answers_folder, kept
from finial.sizing.judged import Judged
from finial.sizing.notebook import Notebook

KNOWN = {(0.125 * n, 1.0 / (n + 3)): Judged(mass_kg=5.0 + n, missing=0.1 * n, is_go=not n) for n in range(5)}


@pytest.fixture(scope="module")
def notebook(tmp_path_factory) -> bytes:
    path = tmp_path_factory.mktemp("notes") / "notes.jsonl"
    notes = Notebook(path, "search")
    for point, judged in KNOWN.items():
        notes.note(point, judged)
    return path.read_bytes()


@RUN
@given(data=st.data())
def test_notebooks(trial, notebook, data):
    path = trial.folder / "notes.jsonl"
    path.write_bytes(data.draw(bitten(notebook)))
    found = trial.call(Notebook, path, "search")
    assert found is None or all(KNOWN[point] == judged for point, judged in found.known.items())


@RUN
@given(data=st.data())
def test_kept_answers(trial, monkeypatch, data):
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(trial.folder / "cache"))
    wanted = {"reserve": 1.25, "words": ["one", "two"]}
    kept("fuzz", "content", lambda: wanted)
    (path,) = answers_folder().glob("fuzz-*.answer")
    path.write_bytes(data.draw(bitten(path.read_bytes())))
    assert trial.call(kept, "fuzz", "content", lambda: wanted) == wanted


@RUN
@given(data=st.data())
def test_manifests(trial, data):
    folder = trial.folder / "campaign"
    folder.mkdir(exist_ok=True)
    draws = [{"column": "draw_000", "name": "wind", "unit": "m/s"}]
    named = {"name": "Lamp", "finial": "1", "code": "0" * 16, "fingerprint": "1" * 16, "design": "plain"}
    whole = named | {"seed": 1, "flights": 10, "results": ["apogee"], "draws": draws}
    whole["sum"] = manifest_sum(whole)
    (folder / MANIFEST).write_bytes(data.draw(bitten(json.dumps(whole).encode())))
    found = trial.call(read_manifest, folder)
    assert found is None or found == whole
