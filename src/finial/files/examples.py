"""Where the example projects lie: inside the installed package, or in the checkout."""

from importlib.resources import files
from pathlib import Path

from finial.core.errors import MissingData

EXAMPLES = ("skerry-light", "phone-box", "pagoda", "buoy-tiers", "every-key")
PARTS_OF_A_PROJECT = (
    "*.toml",
    "*.csv",
    "*.geojson",
    "*-tunnel/runs.json",
    "*-tunnel/surfaces.npz",
    "*-tunnel/flows.npz",
    "meshes/*",
    "motors/*",
)
"""What the wheel ships of an example and ``finial new`` copies; a test compares it with pyproject.toml."""


def example_folder(name: str) -> Path:
    """Folder of one example project.

    Raises
    ------
    MissingData
        If there is no example of that name here.
    """
    package = Path(str(files("finial")))
    for root in (package / "examples", package.parents[1] / "examples"):
        if (root / name).is_dir():
            return root / name
    raise MissingData(f"no example {name!r}: known are {', '.join(EXAMPLES)}")


def project_files(folder: Path) -> list[Path]:
    """Sheets, meshes and motors of a project, and nothing that a command has written beside them."""
    found = (path for pattern in PARTS_OF_A_PROJECT for path in folder.glob(pattern))
    return sorted(path for path in found if path.is_file())
