import pytest

from finial.core.errors import MissingData
from finial.materials.material import METAL, PRINTED, material, material_names


@pytest.mark.parametrize("name", material_names())
def test_every_row_is_sound(name):
    found = material(name)
    for number in (found.density_kg_m3, found.modulus_pa, found.yield_pa, found.ultimate_pa):
        assert 0.0 < number.low < number.high
    assert found.yield_pa.value <= found.ultimate_pa.value
    assert 0.0 < found.poisson < 0.5
    assert "from memory" in found.source
    assert (found.upright_pa is not None) == (found.kind == PRINTED)
    assert (found.softens_k is None) == (found.kind == METAL or name == "birch plywood")


def test_names_are_unique_other_names_included():
    names = [name.casefold() for name in material_names()]
    assert len(set(names)) == len(names)
    for other, name in {"PMMA": "acrylic", "FR-4": "G10", "nylon": "PA", "a2": "stainless 304"}.items():
        assert material(other).name == name


def test_case_and_spaces_do_not_matter():
    assert material("  petg ") == material("PETG")


def test_layers_weaken_a_print_and_nothing_else():
    for name, share in (("PLA", 0.39), ("PETG", 0.35)):
        across = material(name).upright_pa
        assert across is not None
        assert across.value / material(name).ultimate_pa.value == pytest.approx(share, abs=0.02)
    assert material("6061-T6").upright_pa is None


def test_softening_is_given_in_kelvin():
    pla = material("PLA").softens_k
    assert (pla.low, pla.high) == pytest.approx((328.15, 338.15))


def test_shear_modulus_of_aluminium():
    # G = E / (2 (1 + nu)); handbooks give 26 GPa for 6061-T6, from memory of MMPDS.
    assert material("6061-T6").shear_modulus_pa.value == pytest.approx(26e9, rel=0.01)


def test_an_unknown_material_is_refused_with_what_is_known():
    with pytest.raises(MissingData, match=r"no material 'unobtainium': known are PLA, PETG, .*6061-T6"):
        material("unobtainium")
