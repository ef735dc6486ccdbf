"""Write the README's example output: run ``python docs/make_readme.py`` from the project's folder."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
README = ROOT / "README.md"
START = "<!-- what follows is written by docs/make_readme.py; a test holds it to the real output -->\n"
END = "<!-- end of what is written -->\n"
COMMAND = ["check", "examples/skerry-light/skerry-light.toml", "--brief"]
LINES = 14


def shown() -> str:
    """Run the command and return its first lines as the README shows them."""
    done = subprocess.run(
        [sys.executable, "-m", "finial", *COMMAND, "--quiet"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if not done.stdout:
        raise SystemExit(done.stderr)
    first = done.stdout.splitlines()[:LINES]
    return "\n".join(["```console", "$ finial " + " ".join(COMMAND), *first, "...", "```", ""])


def with_output(text: str, output: str) -> str:
    """Put the output between its two marks."""
    before, _, rest = text.partition(START)
    _, _, after = rest.partition(END)
    return f"{before}{START}{output}{END}{after}"


if __name__ == "__main__":
    README.write_text(with_output(README.read_text(encoding="utf-8"), shown()), encoding="utf-8")
