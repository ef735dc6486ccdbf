"""Runs of the tunnel that lie beside a sheet, shown where air is shown."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from finial.findings.readiness import Readiness


def with_kept_tunnel(readiness: "Readiness", sheet: Path) -> "Readiness":
    """Add what is kept beside the sheet, where the sheet itself names no study; the verdict stays."""
    from finial.findings.check import load
    from finial.tunnel_study.beside import kept_beside
    from finial.tunnel_study.store import RUNS, own_folder

    kept = own_folder(sheet) / RUNS
    if not kept.is_file() or readiness.air.tunnel is not None:
        return readiness
    beside = kept_beside(load(sheet), kept)
    return replace(readiness, air=replace(readiness.air, tunnel=beside))
