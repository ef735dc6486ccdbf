"""The outcome of every fault tried, as a page: a row for each package, then each fault that got through."""

from collections import Counter
from collections.abc import Sequence

from mutations.sites import Site

NOT_JUDGED = "not judged"
"""The tests were stopped, by time or from outside: nobody knows."""
OUTCOMES = ("found beside", "found elsewhere", "survived", "reached by none", "not beside", NOT_JUDGED)


def table(outcomes: Sequence[tuple[Site, str]], *, left: int, seed: int) -> str:
    """Return the page as Markdown; ``left`` faults of the sample were not tried yet."""
    known = [(site, outcome) for site, outcome in outcomes if outcome != NOT_JUDGED]
    lines = [
        f"{len(outcomes)} faults tried (seed {seed}), {left} left, {len(outcomes) - len(known)} not judged.",
        "",
        "| package | judged | found beside | found elsewhere | survived | reached by none |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    packages = sorted({site.package for site, _ in known})
    lines += [_row(name, [one for site, one in known if site.package == name]) for name in packages]
    lines += [_row("all", [one for _, one in known])] if known else []
    lines.append("")
    lines += [
        f"- {outcome}: `{site.file}:{site.line}` `{site.before}` became `{site.after}`"
        for site, outcome in sorted(outcomes, key=lambda pair: (pair[0].file, pair[0].line))
        if outcome != OUTCOMES[0]
    ]
    return "\n".join(lines)


def _row(name: str, outcomes: Sequence[str]) -> str:
    counts = Counter(outcomes)
    share = 100 * counts["found beside"] / len(outcomes)
    survived = counts["survived"] + counts["not beside"]
    cells = [
        name,
        len(outcomes),
        f"{counts['found beside']} ({share:.0f} %)",
        counts["found elsewhere"],
        survived,
    ]
    return "| " + " | ".join(str(cell) for cell in (*cells, counts["reached by none"])) + " |"
