"""Runs of the tunnel that lie beside a sheet, shown where air is shown."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from finial.assemble.air.results import TunnelBeside
    from finial.findings.readiness import Readiness


def with_kept_tunnel(readiness: "Readiness", sheet: Path) -> "Readiness":
    """Add what is kept beside the sheet, where the sheet itself names no study; the verdict stays."""
    from finial.core.content import content_hash
    from finial.files.kept import kept
    from finial.files.read_by import content_of_sheet
    from finial.files.tunnel_runs import own_folder
    from finial.tunnel_study.store import RUNS

    runs = own_folder(sheet) / RUNS
    if not runs.is_file() or readiness.air.tunnel is not None:
        return readiness
    content = content_of_sheet(sheet)

    def compute() -> "TunnelBeside":
        from finial.findings.check import silent
        from finial.findings.kept_check import loaded_once
        from finial.tunnel_study.beside import kept_beside

        return kept_beside(loaded_once(sheet, content, silent), runs)

    if content is None:
        beside = compute()
    else:
        beside = kept("tunnel-beside", content_hash(content, runs.read_text(encoding="utf-8")), compute)
    return replace(readiness, air=replace(readiness.air, tunnel=beside))
