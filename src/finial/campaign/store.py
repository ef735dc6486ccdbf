"""A campaign's folder: files of flights, the numbers that all of them share, and a manifest.

What is missing is the work list; nothing else remembers how far a run came.
"""

import hashlib
import io
import json
import logging
import zipfile
import zlib
from dataclasses import dataclass, replace
from pathlib import Path
from typing import NotRequired, TypedDict

import numpy as np
from numpy.typing import NDArray

from finial.campaign.campaign import Campaign, code_hash, fingerprint
from finial.campaign.chunks import ASIDE, Range, chunks, covered, draw_column, write_kept
from finial.campaign.proof import belong_to
from finial.core.errors import CampaignError
from finial.core.version import __version__
from finial.files.write import why_not_written
from finial.flight.kernel.layout import TOLERANCE
from finial.flight.many import RESULTS
from finial.flight.packing.many import ManyPacked
from finial.flight.uncertain import Drawn, Uncertain

MANIFEST, CASE = "manifest.json", "case.npz"
WRITTEN = (MANIFEST, CASE, "flights-*.parquet")
"""Every file that a run writes to its folder."""
_ARRAYS = ("marks", "plan", "ints", "pool", "table")
_CLOSE = 1e-9
_AGAIN = "name another folder, or run the very campaign again that was flown here"
_DAMAGE = (
    OSError,
    ValueError,
    KeyError,
    EOFError,
    NotImplementedError,
    RuntimeError,
    zipfile.BadZipFile,
    zlib.error,
)
"""What unpacking a damaged archive of arrays raises."""


class ManifestDraw(TypedDict):
    """One uncertain number, as the manifest names it."""

    column: str
    name: str
    kind: NotRequired[str]
    of: NotRequired[str]
    side: NotRequired[str]
    unit: str


class Manifest(TypedDict):
    """What the manifest's file holds."""

    name: str
    finial: str
    code: str
    fingerprint: str
    design: str
    seed: int
    flights: int
    rounding: str
    results: list[str]
    draws: list[ManifestDraw]
    sum: NotRequired[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """A folder that holds flights of exactly one campaign."""

    folder: Path
    campaign: Campaign
    """With the arrays kept in the folder, so that a resumed run is the same to the last bit."""


def opened(folder: Path, campaign: Campaign) -> Store:
    """Begin a campaign's folder, or go on with one of the same campaign.

    A manifest that is damaged is set aside and written anew where the folder's flights prove to be this
    campaign's.

    Raises
    ------
    CampaignError
        If the folder holds another campaign, is damaged, or cannot be written to.
    """
    manifest = folder / MANIFEST
    if not manifest.exists():
        return _begun(folder, campaign)
    known = _known(folder, campaign)
    if not covered(folder):
        # A campaign's folder without any flights has nothing to mix.
        return _begun(folder, campaign)
    kept = _with_arrays(campaign, _case(folder, known, campaign))
    difference = _difference(known, campaign, kept)
    if difference:
        raise CampaignError(
            f"{folder} holds another campaign: {difference}. Flights of two campaigns are never mixed: "
            "name another folder, or move this one away"
        )
    return Store(folder=folder, campaign=kept)


def missing_ranges(store: Store, chunk: int) -> list[Range]:
    """Ranges still to fly, none longer than ``chunk``; a range is first flight and the one after the last."""
    gaps: list[Range] = []
    at = 0
    for first, end in covered(store.folder):
        if first > at:
            gaps.append((at, first))
        at = max(at, end)
    flights = store.campaign.flights
    if at < flights:
        gaps.append((at, flights))
    cut = [(low, min(high, flights)) for low, high in gaps if low < flights]
    return [
        (start, min(start + chunk, high)) for low, high in cut for start in range(low, high, max(chunk, 1))
    ]


def read_manifest(folder: Path) -> Manifest:
    """Manifest of a campaign's folder.

    Raises
    ------
    CampaignError
        If there is none or it is damaged.
    """
    path = folder / MANIFEST
    if not path.exists():
        raise CampaignError(f"{folder} holds no campaign: there is no {MANIFEST} in it")
    return _manifest(path)


def _begun(folder: Path, campaign: Campaign) -> Store:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CampaignError(f"{folder} cannot be made: {why_not_written(error)}") from error
    if covered(folder):
        raise CampaignError(f"{folder} holds flights but no {MANIFEST}: name another folder")
    write_kept(folder / CASE, _case_bytes(campaign), folder)
    _write_manifest(folder, campaign)
    return Store(folder=folder, campaign=campaign)


def _write_manifest(folder: Path, campaign: Campaign) -> None:
    manifest: Manifest = {
        "name": campaign.name,
        "finial": __version__,
        "code": code_hash(),
        "fingerprint": fingerprint(campaign),
        "design": campaign.design,
        "seed": campaign.seed,
        "flights": campaign.flights,
        "rounding": campaign.rounding,
        "results": list(RESULTS),
        "draws": [
            {
                "column": draw_column(index),
                "name": number.name,
                "kind": number.kind.name.lower(),
                "of": number.of,
                "side": number.side,
                "unit": unit,
            }
            for index, (number, unit) in enumerate(zip(campaign.draws, campaign.units, strict=True))
        ],
    }
    whole = {**manifest, "sum": manifest_sum(manifest)}
    write_kept(folder / MANIFEST, json.dumps(whole, indent=1, ensure_ascii=False).encode(), folder)


def uncertain_number(draw: ManifestDraw) -> Uncertain:
    """Which number a manifest names; one written before kinds were kept goes by its name."""
    kind = draw.get("kind", "").upper()
    if kind not in Drawn.__members__:
        return Uncertain(kind=Drawn.OTHER, of=draw["name"])
    return Uncertain(kind=Drawn[kind], of=draw.get("of", ""), side=draw.get("side", ""))


def manifest_sum(manifest: Manifest) -> str:
    """Checksum of everything in a manifest but the checksum."""
    told = {key: value for key, value in manifest.items() if key != "sum"}
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()[:16]


def _known(folder: Path, campaign: Campaign) -> Manifest:
    """Read a folder's manifest; a damaged one is made anew where case and flights are this campaign's."""
    path = folder / MANIFEST
    try:
        return _manifest(path)
    except CampaignError:
        if not _is_of(folder, campaign):
            raise
    _set_aside(path)
    _write_manifest(folder, _with_arrays(campaign, _arrays(folder / CASE)))
    return _manifest(path)


def _is_of(folder: Path, campaign: Campaign) -> bool:
    try:
        kept = _with_arrays(campaign, _arrays(folder / CASE))
    except CampaignError:
        return False
    return _is_alike(kept, campaign) and belong_to(kept, chunks(folder))


def _set_aside(path: Path) -> None:
    if path.exists():
        path.replace(path.with_name(f"{path.name}{ASIDE}"))
    logging.getLogger("finial").warning("%s was damaged: set aside as *%s, and written anew", path, ASIDE)


def _manifest(path: Path) -> Manifest:
    try:
        manifest: Manifest = json.loads(path.read_text(encoding="utf-8"))
        if not {"fingerprint", "code", "design", "seed", "flights", "rounding", "draws"} <= set(manifest):
            raise CampaignError(f"{path} is no manifest of a campaign: name another folder")
        if manifest.get("sum") != manifest_sum(manifest):
            raise CampaignError(f"{path} is damaged (its checksum does not hold): {_AGAIN}")
    except (OSError, ValueError, TypeError) as error:
        raise CampaignError(f"{path} cannot be read ({error}): {_AGAIN}") from error
    return manifest


def _case(folder: Path, known: Manifest, campaign: Campaign) -> ManyPacked:
    """Read the arrays kept in a folder; a damaged file is made anew from the same ones."""
    path = folder / CASE
    try:
        return _arrays(path)
    except CampaignError:
        if known["fingerprint"] != fingerprint(campaign):
            raise
    _set_aside(path)
    write_kept(path, _case_bytes(campaign), folder)
    return campaign.packed


def _case_bytes(campaign: Campaign) -> bytes:
    buffer = io.BytesIO()
    np.savez(buffer, allow_pickle=False, **{name: getattr(campaign.packed, name) for name in _ARRAYS})
    return buffer.getvalue()


def _arrays(path: Path) -> ManyPacked:
    try:
        with np.load(io.BytesIO(path.read_bytes()), allow_pickle=False) as stored:
            return ManyPacked(**{name: stored[name] for name in _ARRAYS})
    except _DAMAGE as error:
        raise CampaignError(f"{path} is missing or damaged ({error}): name another folder") from error


def _with_arrays(campaign: Campaign, arrays: ManyPacked) -> Campaign:
    return replace(campaign, packed=arrays)


def _difference(known: Manifest, campaign: Campaign, kept: Campaign) -> str:
    """Say what sets the folder's campaign apart from this one, or nothing."""
    if known["code"] != code_hash():
        return "it was flown by another version of the program"
    if known["rounding"] != campaign.rounding:
        return f"it was flown on {known['rounding']}, and {campaign.rounding} would round otherwise"
    if (known["design"], known["seed"]) != (campaign.design, campaign.seed):
        return f"design {known['design']} with seed {known['seed']}"
    if campaign.design == "latin" and known["flights"] != campaign.flights:
        return f"a Latin hypercube of {known['flights']} flights, which cannot grow or shrink"
    if [uncertain_number(draw) for draw in known["draws"]] != list(campaign.draws):
        return "other numbers are uncertain"
    if not _is_alike(kept, campaign):
        return "vehicle, day or spread have changed"
    return "" if known["fingerprint"] == fingerprint(kept) else "its files do not belong together"


def _is_alike(kept: Campaign, campaign: Campaign) -> bool:
    """Say whether two campaigns' arrays are the same but for what other builds round.

    How fine they step may differ: the folder's own steps are gone on with.
    """
    pairs = [
        (getattr(kept.packed, name), getattr(campaign.packed, name)) for name in _ARRAYS if name != "pool"
    ]
    pairs.append((_but_for_steps(kept), _but_for_steps(campaign)))
    return all(
        one.shape == other.shape and np.allclose(one, other, rtol=_CLOSE, atol=1e-12) for one, other in pairs
    )


def _but_for_steps(campaign: Campaign) -> NDArray[np.float64]:
    return np.delete(campaign.packed.pool, TOLERANCE)
