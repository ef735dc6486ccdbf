"""The compiled code's folder, and that compiling leaves no setting behind."""

import importlib

from finial.core.compiled import Kernels
from finial.flight.fly import is_ready, make_ready
from finial.flight.kernel import compiled


def test_machine_code_lies_in_a_folder_named_by_the_sources():
    make_ready()
    folder = compiled.FLIGHT.folder()
    assert folder.name.startswith("flight-")
    assert is_ready()
    assert list(folder.rglob("run.run-*.nbi"))


def test_every_kernel_file_counts_in_the_name():
    package = compiled.Path(compiled.__file__).parent
    kernels = {path.name for path in package.iterdir() if path.is_file()} - {"__init__.py", "compiled.py"}
    assert kernels == set(compiled.FLIGHT.files)


def test_another_source_has_another_folder(tmp_path):
    made = []
    for text in ("a = 1", "a = 2"):
        (tmp_path / "kernel.py").write_text(text)
        made.append(Kernels(name="try", home=tmp_path, files=("kernel.py",)).sources_hash())
    assert made[0] != made[1]


def test_the_compilers_own_setting_is_as_it_was():
    make_ready()
    settings = importlib.import_module("numba.core.config")
    assert str(compiled.FLIGHT.folder()) != settings.CACHE_DIR


def test_a_second_call_compiles_nothing():
    make_ready()
    calls = []
    assert make_ready(lambda: calls.append("compiling")) is False
    assert calls == []


def test_without_the_code_the_caller_is_told_before_compiling(monkeypatch):
    monkeypatch.setattr("finial.flight.fly._is_loaded", lambda: False)
    monkeypatch.setattr("finial.flight.kernel.compiled.is_compiled", lambda: False)
    calls = []
    assert make_ready(lambda: calls.append("compiling")) is True
    assert calls == ["compiling"]


def test_inner_kernels_count_no_references():
    # Counting who holds an array, on every call of every inner function, took two thirds of a flight's time.
    from finial.flight.kernel.motion import slopes

    words = "(float64, UniTuple(float64, 13), int64[::1], float64[::1], float64[::1], float64[::1])"
    slopes.compile(words)
    machine_code = slopes.inspect_asm(slopes.signatures[0])
    assert "NRT_incref" not in machine_code
    assert "slopes" in machine_code
