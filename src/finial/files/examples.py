"""Where the example projects lie: inside the installed package, or in the checkout."""

from importlib.resources import files
from pathlib import Path

from finial.core.errors import MissingData

EXAMPLES = ("skerry-light", "phone-box", "pagoda", "buoy-tiers")


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
