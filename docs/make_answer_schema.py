"""Write the schema of an answer: run ``python docs/make_answer_schema.py`` from the project's folder."""

import json
from pathlib import Path

from finial.report.answer_schema import answer_schema

PAGE = Path(__file__).with_name("answer.schema.json")


def text() -> str:
    """Return the file as it is committed."""
    return json.dumps(answer_schema(), indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    PAGE.write_text(text(), encoding="utf-8")
