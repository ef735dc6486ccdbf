"""Run every benchmark in this folder, one after the other: ``python -m bench.run [--small]``."""

import subprocess
import sys
from pathlib import Path

FOLDER = Path(__file__).parent
NOT_QUESTIONS = {"run.py", "plain_flight.py"}


def main() -> int:
    questions = sorted(path for path in FOLDER.glob("*.py") if path.name not in NOT_QUESTIONS)
    for question in questions:
        print(f"== {question.name}", flush=True)
        done = subprocess.run([sys.executable, str(question), *sys.argv[1:]], cwd=FOLDER.parent, check=False)
        if done.returncode:
            print(f"{question.name} failed with {done.returncode}")
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
