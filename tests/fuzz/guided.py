"""Readers fuzzed by what each case makes them do: run by hand, where atheris is installed.

    python tests/fuzz/guided.py sheet -runs=100000

The first word names a reader; what follows is for the engine. A case that ends in anything but a result or
a refusal in harmless words stops the run, and the engine keeps it as a file.
"""

import sys
import tempfile
from pathlib import Path

import atheris

sys.path.insert(0, str(Path(__file__).parent))

from fuzz_trial import assert_harmless

with atheris.instrument_imports(include=["finial"]):
    from finial.core.errors import FinialError
    from finial.files.air_columns import read_air_columns
    from finial.files.geojson import read_field
    from finial.files.meshes import read_mesh
    from finial.files.sheet import read_sheet
    from finial.files.thrust_curve import read_thrust_curve
    from finial.files.wind_column import read_wind_column

FOLDER = Path(tempfile.mkdtemp(prefix="guided-"))
READERS = {
    "sheet": ("a.toml", read_sheet),
    "stl": ("a.stl", lambda path: read_mesh(path, "mm")),
    "obj": ("a.obj", lambda path: read_mesh(path, "mm")),
    "ply": ("a.ply", lambda path: read_mesh(path, "mm")),
    "3mf": ("a.3mf", lambda path: read_mesh(path, None)),
    "curve": ("a.csv", read_thrust_curve),
    "wind": ("a.csv", read_wind_column),
    "air": ("a.csv", read_air_columns),
    "field": ("a.geojson", read_field),
}


def main() -> None:
    """Hand bytes to one reader until the engine is done."""
    name, read = READERS[sys.argv.pop(1)]

    def one(content: bytes) -> None:
        path = FOLDER / name
        path.write_bytes(content)
        try:
            read(path)
        except FinialError as error:
            assert_harmless(str(error))

    atheris.Setup(sys.argv, one)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
