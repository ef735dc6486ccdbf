"""Run every benchmark in this folder: ``python -m bench.run [--small]``.

Ends with 1, and says which, when a goal is not met, a benchmark breaks off, or one judges nothing at all.
"""

import json
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from goals import FAULTS, Outcome

FOLDER = Path(__file__).parent
NOT_QUESTIONS = {"__init__.py", "goals.py", "load_range.py", "plain_flight.py", "rule_faults.py", "run.py"}
"""What others use, and what is started by hand because it takes hours."""


def main(arguments: list[str]) -> int:
    told: list[tuple[str, Outcome, str]] = []
    with tempfile.TemporaryDirectory() as scratch:
        for question in sorted(path for path in FOLDER.glob("*.py") if path.name not in NOT_QUESTIONS):
            print(f"== {question.name}", flush=True)
            kept = Path(scratch) / f"{question.stem}.json"
            told += [(question.name, *each) for each in outcomes(question, arguments, kept)]
    print("== outcome")
    for name, outcome, words in told:
        print(f"{outcome}: {name}: {words}")
    counts = Counter(outcome for _, outcome, _ in told)
    print(", ".join(f"{count} {outcome}" for outcome, count in sorted(counts.items())))
    return int(any(counts[fault] for fault in FAULTS) or not told)


def outcomes(question: Path, arguments: list[str], kept: Path) -> list[tuple[Outcome, str]]:
    """Run one benchmark; return what became of each of its goals."""
    command = [sys.executable, str(question), "--outcomes", str(kept), *arguments]
    code = subprocess.run(command, cwd=FOLDER.parent, check=False).returncode
    written = json.loads(kept.read_text(encoding="utf-8")) if kept.is_file() else []
    found = [(Outcome(outcome), words) for outcome, words in written]
    unmet = any(outcome is Outcome.NOT_MET for outcome, _ in found)
    if not found:
        return [(Outcome.FAILED, f"ended with {code} and judged no goal")]
    if code != int(unmet):
        return [*found, (Outcome.FAILED, f"ended with {code}, which its goals do not explain")]
    return found


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
