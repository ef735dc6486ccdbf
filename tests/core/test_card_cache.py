"""What is compiled for a card is kept, and sealed as processors' code is; no card is needed."""

from pathlib import Path

import pytest

from finial.core.card_cache import _CardFiles, kept_for_cards
from finial.core.compiled import Kernels
from finial.core.sealed_cache import SealedFiles

HERE = Kernels(name="test-card", home=Path(__file__).parent, files=("test_card_cache.py",))


def first_to_one(array):
    array[0] = 1.0


class FilesOfTheCompiler:
    """What the compiler's own files tell: where they lie, and how their content is written."""

    _source_stamp = "stamp"
    _index_name = "kernel.fly-1.nbi"

    def __init__(self, folder):
        self._cache_path = str(folder)

    @staticmethod
    def _dump(thing):
        import pickle

        return pickle.dumps(thing)


@pytest.fixture
def cuda():
    from numba import cuda

    if not hasattr(cuda.jit(first_to_one), "_cache"):
        pytest.skip("a simulated card keeps nothing")
    return cuda


def test_a_kernels_code_is_kept_sealed_in_the_folder_of_its_sources(cuda, tmp_path, monkeypatch):
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path))
    files = kept_for_cards(HERE)(first_to_one)._cache._cache_file
    assert isinstance(files, SealedFiles)
    assert HERE.folder() in Path(files._index_path).parents
    assert HERE.folder().is_relative_to(tmp_path)


def test_the_compilers_own_setting_is_put_back(cuda, tmp_path, monkeypatch):
    from numba.core import config

    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path))
    before = config.CACHE_DIR
    kept_for_cards(HERE)(first_to_one)
    assert before == config.CACHE_DIR


def test_where_no_folder_can_be_written_it_is_compiled_each_time(cuda, monkeypatch):
    monkeypatch.setattr(Kernels, "folder", lambda _self: None)
    kernel = kept_for_cards(HERE)(first_to_one)
    assert type(kernel._cache).__name__ == "NullCache"


def test_what_was_kept_is_read_again(tmp_path):
    _CardFiles(FilesOfTheCompiler(tmp_path)).save("signature", {"code": b"\x7fELF"})
    assert _CardFiles(FilesOfTheCompiler(tmp_path)).load("signature") == {"code": b"\x7fELF"}
    assert _CardFiles(FilesOfTheCompiler(tmp_path)).load("another") is None


@pytest.mark.parametrize("kind", ["nbi", "nbc"])
def test_a_changed_byte_is_never_loaded_onto_a_card(tmp_path, kind, caplog):
    _CardFiles(FilesOfTheCompiler(tmp_path)).save("signature", {"code": b"\x7fELF"})
    (path,) = tmp_path.glob(f"*.{kind}")
    raw = bytearray(path.read_bytes())
    raw[len(raw) // 2] ^= 1
    path.write_bytes(bytes(raw))
    assert _CardFiles(FilesOfTheCompiler(tmp_path)).load("signature") is None
    assert path.with_name(f"{path.name}.damaged").exists()
    assert "was damaged: set aside" in caplog.text
