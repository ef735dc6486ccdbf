"""A material as the builder's own test bars show it."""

from dataclasses import dataclass, replace

from finial.core.estimates import Estimate
from finial.materials.material import PRINTED, Material


@dataclass(frozen=True, slots=True, kw_only=True)
class TestBars:
    """What broken bars and weighed pieces say; ``None`` is not measured."""

    # pytest would take the name for a class of tests.
    __test__ = False

    along_pa: Estimate | None = None
    """Strength along the layers, or of a sheet [Pa]."""
    across_pa: Estimate | None = None
    """Strength across the layers [Pa]."""
    modulus_pa: Estimate | None = None
    density_kg_m3: Estimate | None = None
    softens_k: Estimate | None = None


def from_test_bars(name: str, like: Material, bars: TestBars) -> Material:
    """Lay the builder's own numbers over a material of the tables.

    Parameters
    ----------
    name : str
        What the builder calls it.
    like : Material
        Where every other number comes from.
    bars : TestBars
        Own numbers [Pa], [kg/m^3], [K].

    Returns
    -------
    own : Material
        The material. A print whose strength was measured along its layers and not across them has no
        strength across: that of the table belongs to another print.

    Notes
    -----
    Range: as the bars: same printer, settings and direction.

    References
    ----------
    .. [1] ISO 527-1 for bars; the builder's own numbers.

    Examples
    --------
    >>> from finial.core.estimates import KnownBy, exact
    >>> from finial.materials.material import material
    >>> bars = TestBars(along_pa=exact(41e6, known_by=KnownBy.MEASURED))
    >>> from_test_bars("my PETG", material("PETG"), bars).upright_pa is None
    True
    """
    along = bars.along_pa or like.ultimate_pa
    across = bars.across_pa
    if across is None and bars.along_pa is None:
        across = like.upright_pa
    given = [word for word, value in _words(bars) if value is not None]
    return replace(
        like,
        name=name,
        density_kg_m3=bars.density_kg_m3 or like.density_kg_m3,
        modulus_pa=bars.modulus_pa or like.modulus_pa,
        ultimate_pa=along,
        yield_pa=(bars.along_pa or like.yield_pa) if like.kind == PRINTED else _yield(like, bars),
        upright_pa=across if like.kind == PRINTED else None,
        softens_k=bars.softens_k or like.softens_k,
        source=f"own test bars ({', '.join(given)}); the rest: {like.source}" if given else like.source,
    )


def _yield(like: Material, bars: TestBars) -> Estimate:
    """Yield strength of a sheet or metal: it falls or rises with the measured strength."""
    if bars.along_pa is None:
        return like.yield_pa
    return bars.along_pa.scaled(like.yield_pa.value / like.ultimate_pa.value)


def _words(bars: TestBars) -> tuple[tuple[str, Estimate | None], ...]:
    return (
        ("strength along", bars.along_pa),
        ("strength across", bars.across_pa),
        ("modulus", bars.modulus_pa),
        ("density", bars.density_kg_m3),
        ("softening", bars.softens_k),
    )
