"""A printer as the sheet tells it, holes and seams of the print, test pieces, and what made pieces teach."""

import math
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import FIN, about, part, quantity, rod

from finial.assemble.inside.placed import Placed
from finial.assemble.prints import barred, holes, jigs, learning, motions, samples, settings
from finial.core.errors import BuildSheetError
from finial.core.estimates import KnownBy, exact
from finial.files.sheet_body import DowelsEntry, MadeEntry
from finial.inside.things import Kind, Thing
from finial.printing.cuts import Why
from finial.printing.effort import Effort
from finial.printing.joints import JointKind
from finial.shape.skin import Section


def thing(kind=Kind.ROD, **given):
    usual = {"name": "it", "middle_m": 0.5, "length_m": 0.2, "across_m": 0.02}
    return Thing(kind=kind, **(usual | given))


def bed(**given):
    usual = {"bed": [quantity(0.2), quantity(0.21), quantity(0.25)], "nozzle": None, "clearance": None}
    return SimpleNamespace(**(usual | {"speed": None, "made": ()} | given))


def of_sheet(print=None, **given):
    sheet = SimpleNamespace(print=print, **given)
    source = SimpleNamespace(fault=lambda where, given, accepted: SimpleNamespace(where=where))
    return SimpleNamespace(sheet=sheet, files=SimpleNamespace(source=source), us_units=False)


# ------------------------------------------------------------------------------- settings


def test_what_the_sheet_leaves_open_of_a_printer_is_usual():
    found = settings.settings_of(of_sheet(bed()))
    assert found.bed_m == (0.2, 0.21, 0.25)
    assert (found.nozzle_m, found.play.across_m) == (0.0004, 0.0003)
    # Three walls of the nozzle's width; a line an eighth wider than the nozzle.
    assert found.play.wall_m == pytest.approx(0.0012)
    assert found.printer.line_width_m == pytest.approx(0.00045)
    assert (found.printer.layer_m, found.printer.speed_m_s) == (0.0002, 0.06)
    assert (found.clearance_measured, found.speed_told, found.kind) == (False, False, JointKind.DOWELS)
    told = bed(nozzle=quantity(0.0006), clearance=quantity(0.0002), speed=quantity(0.1))
    own = settings.settings_of(of_sheet(told))
    assert (own.nozzle_m, own.play.across_m, own.printer.speed_m_s) == (0.0006, 0.0002, 0.1)
    assert (own.clearance_measured, own.speed_told) == (True, True)
    assert settings.clearance_m(of_sheet()) == 0.0003


def test_without_a_bed_there_is_no_plan():
    with pytest.raises(BuildSheetError):
        settings.settings_of(of_sheet())


def printed(**given):
    usual = {"print": SimpleNamespace(layer_height=None), "glued": False, "dowels": None}
    return SimpleNamespace(spec=SimpleNamespace(**(usual | given)))


def test_a_part_is_printed_in_its_own_layers():
    found = settings.settings_of(of_sheet(bed(nozzle=quantity(0.0008), speed=quantity(0.1))))
    own = found.printer_for(printed(print=SimpleNamespace(layer_height=quantity(0.0003))))
    assert (own.layer_m, own.line_width_m, own.speed_m_s) == (0.0003, pytest.approx(0.0009), 0.1)
    assert found.printer_for(printed()).layer_m == 0.0002
    assert found.printer_for(printed(print=None)).layer_m == 0.0002


@pytest.mark.parametrize(
    ("crossed", "glued", "kind"),
    [(True, False, JointKind.RODS), (True, True, JointKind.DOWELS), (False, False, JointKind.DOWELS)],
)
def test_rods_that_cross_a_cut_clamp_it_unless_it_is_glued(monkeypatch, crossed, glued, kind):
    monkeypatch.setattr(settings, "rods_at", lambda _vehicle, _at, _warmth: "rods" if crossed else None)
    monkeypatch.setattr(settings, "station_cut", lambda at, kind, dowels, lip: (at, kind, dowels, lip))
    found = settings.settings_of(of_sheet(bed()))
    at, held, dowels, lip = found.joint_at(printed(glued=glued), 0.4)
    assert (at, held, lip) == (0.4, kind, 0.005)
    assert (dowels.count, dowels.diameter_m, dowels.depth_m) == (4, 0.005, 0.012)


@pytest.mark.parametrize("kind", list(JointKind))
def test_a_joint_has_the_dowels_of_its_part_where_it_has_any(monkeypatch, kind):
    monkeypatch.setattr(settings, "station_cut", lambda at, kind, dowels, lip: dowels)
    own = DowelsEntry.model_validate({"count": 3, "diameter": "6 mm", "depth": "9 mm", "material": "PLA"})
    dowels = settings.settings_of(of_sheet(bed())).joint_of(printed(dowels=own), 0.4, kind)
    if kind in (JointKind.GLUE, JointKind.LIP):
        assert dowels is None
    else:
        assert (dowels.count, dowels.diameter_m, dowels.depth_m) == (3, 0.006, 0.009)


# ----------------------------------------------------------------------------------- holes


def test_holes_are_wider_than_what_goes_in_and_have_no_core():
    found = holes.hole_things(
        (
            Placed(thing=thing(bore_m=0.01)),
            Placed(thing=thing(Kind.MOTOR_TUBE, across_m=0.06, pressed_in_m=0.0001)),
            Placed(thing=thing(Kind.BALLAST)),
            Placed(thing=thing(Kind.BULKHEAD)),
        ),
        0.0004,
    )
    assert [one.across_m for one in found] == pytest.approx([0.0204, 0.0602])
    assert [one.length_m for one in found] == pytest.approx([0.2004, 0.2004])
    assert [one.bore_m for one in found] == [0.0, 0.0]


def test_the_slot_of_a_tab_goes_on_outward_through_the_skin():
    tab = thing(Kind.TAB, depth_m=0.004, offset_m=(0.0, 0.05), roll_rad=math.pi / 2, across_m=0.01)
    (slot,) = holes.hole_things((Placed(thing=tab),), 0.0004)
    assert (slot.across_m, slot.depth_m, slot.length_m) == pytest.approx((0.0204, 0.0044, 0.2004))
    # It grows by 10 mm to the outside alone: its middle moves by half of that, towards its roll.
    assert slot.offset_m == pytest.approx((0.0, 0.055))
    aside = replace(tab, offset_m=(0.05, 0.01), roll_rad=0.0)
    assert holes._slot(aside, 0.0).offset_m == pytest.approx((0.055, 0.01))


def test_only_what_reaches_a_part_is_cut_out_of_it():
    said = thing(Kind.OTHER, middle_m=0.7)
    body = SimpleNamespace(span_m=(0.6, 0.8), bores=(said,))
    touching, within = thing(middle_m=0.5), thing(middle_m=0.51)
    behind, beyond = thing(middle_m=0.89), thing(middle_m=0.9)
    cut = [one for one, _ in holes.cutters((touching, within, behind, beyond), body)]
    assert cut == [within, behind, said]
    ((_, solid),) = holes.cutters((), body)
    assert float(solid.volume()) == pytest.approx(math.pi * 0.01**2 * 0.2, rel=0.01)


# ------------------------------------------------------------------------------------ seams


def stretches(*placed, **given):
    usual = {"recovery": SimpleNamespace(joint=()), "guide": None, "rod": ()}
    told = SimpleNamespace(sheet=SimpleNamespace(**(usual | given)))
    found = barred.barred_stretches(told, tuple(Placed(thing=one) for one in placed))
    return [(one.why, one.name, pytest.approx(one.fore_m), pytest.approx(one.aft_m)) for one in found]


def test_no_seam_goes_through_what_holds_or_closes(monkeypatch):
    monkeypatch.setattr(barred, "all_fins", lambda _vehicle: [FIN])
    joint = SimpleNamespace(name="joint", station=quantity(0.3), shoulder=None)
    over = SimpleNamespace(name="over", station=quantity(0.3), shoulder=quantity(0.05))
    found = stretches(
        thing(Kind.MOTOR_TUBE, name="tube"), thing(Kind.BULKHEAD, name="plate"), thing(Kind.SLED),
        recovery=SimpleNamespace(joint=(joint, over)),
        guide=SimpleNamespace(buttons=(quantity(0.8),)),
        rod=(rod(),),
    )  # fmt: skip
    assert found == [
        # Roots from 0.9 to 1.1 m keep 5 mm to either side, ends of tubes 8, plates 4, buttons 12, nuts 10.
        (Why.FIN_ROOT, "fins", 0.895, 1.105),
        (Why.TUBE_END, "tube", 0.392, 0.408),
        (Why.TUBE_END, "tube", 0.592, 0.608),
        (Why.PLATE, "plate", 0.396, 0.604),
        (Why.BAY_JOINT, "joint", 0.292, 0.308),
        (Why.BAY_JOINT, "over", 0.242, 0.358),
        (Why.BUTTON, "button", 0.788, 0.812),
        (Why.ROD_END, barred.rod_name(rod()), 0.19, 0.21),
        (Why.ROD_END, barred.rod_name(rod()), 0.89, 0.91),
    ]


def test_a_seam_within_a_motor_s_tube_is_told_between_its_ends():
    tubes = [Placed(thing=thing(kind, name="tube")) for kind in (Kind.MOTOR_TUBE, Kind.TUBE)]
    (found,) = barred.motor_tubes(tuple(tubes))
    assert (found.why, found.fore_m, found.aft_m) == (
        Why.MOTOR_TUBE,
        pytest.approx(0.408),
        pytest.approx(0.592),
    )


def test_a_root_is_as_long_as_it_is_drawn():
    drawn = SimpleNamespace(root_m=np.array([0.02, 0.15]), station_m=0.9, outline_m=FIN.outline_m)
    assert barred.root_span(drawn) == pytest.approx((0.92, 1.05))
    assert barred.root_span(FIN) == pytest.approx((0.9, 1.1))


def test_lengthwise_cuts_keep_from_fins_and_rods(monkeypatch):
    aside = replace(FIN, offset_m=(0.01, -0.02), first_at_rad=math.pi / 2, count=1)
    monkeypatch.setattr(barred, "all_fins", lambda _vehicle: [aside])
    sheet = SimpleNamespace(rod=(rod(count=2),))
    fin, *rods = barred.lines_beside(SimpleNamespace(sheet=sheet))
    assert fin.place_m == pytest.approx((0.01, 0.03))
    assert (fin.stations_m, fin.keep_m) == (pytest.approx((0.9, 1.1)), pytest.approx(0.007))
    assert [one.stations_m for one in rods] == [(0.2, 0.9)] * 2
    assert [one.keep_m for one in rods] == [0.006] * 2
    assert [math.hypot(*one.place_m) for one in rods] == pytest.approx([0.042] * 2)


# ------------------------------------------------------------------------------------- jigs


@pytest.mark.parametrize(
    ("length_m", "middle_m", "last_m"),
    [(1.2, 1.0, 1.01), (0.95, 0.95, 0.95), (1.005, 1.0, 1.005)],
)
def test_a_jig_s_collar_stands_amid_the_roots_on_the_body(monkeypatch, length_m, middle_m, last_m):
    read = []
    square = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    section = Section(station_m=0.5, loops=(square,), area_m2=0.01, perimeter_m=0.4, centroid_m=(0.0, 0.0))
    body = SimpleNamespace(scale=lambda by: by)
    asked = []
    monkeypatch.setattr(jigs, "fin_sets", lambda _vehicle: [FIN])
    monkeypatch.setattr(jigs, "section_at", lambda _skin, at: read.append(at) or section)
    monkeypatch.setattr(jigs, "fin_jig", lambda *given: asked.append(given) or body)
    monkeypatch.setattr(jigs, "cornered", lambda body: body)
    monkeypatch.setattr(jigs, "sound", lambda body, name: (body, name))
    vehicle = SimpleNamespace(sheet=SimpleNamespace(print=None), skin=SimpleNamespace(length_m=length_m))
    (jig,) = jigs.fin_jigs(vehicle)
    assert (jig.fins, jig.station_m) == ("fins", pytest.approx(middle_m))
    assert read == pytest.approx([middle_m - 0.01, middle_m, last_m])
    ((outlines, fins, play),) = asked
    assert (len(outlines), fins.count, fins.thickness_m, play) == (3, 4, 0.004, 0.0003)
    assert jig.sound[0] == (1e3, 1e3, 1e3)


# --------------------------------------------------------------------------------- motions


def test_motions_stand_beside_every_printed_part_of_the_sheet(monkeypatch):
    told = SimpleNamespace(starts_mm=0, ends_mm=1, fed_mm=2, speeds_mm_s=3, dwell_s=4)
    monkeypatch.setattr(motions, "read_motions", lambda _path: told)
    monkeypatch.setattr(motions, "laid", lambda moves: SimpleNamespace(plastic_m3=1e-4, moves=moves))
    stuff = SimpleNamespace(density_kg_m3=about(1200.0, 1100.0, 1300.0))
    monkeypatch.setattr(motions, "sheet_material", lambda _sheet, _name: stuff)
    board = SimpleNamespace(name="board", material="ply", print=None)
    vehicle = of_sheet(part=(part(wall_m=0.0016).spec, board))
    found = motions.laid_by(vehicle, Path("there") / "tower.gcode")
    (wall,) = found.walls
    assert (found.file, wall.part, wall.wall_m) == ("tower.gcode", "tower", 0.0016)
    assert (wall.mass.low, wall.mass.value, wall.mass.high) == pytest.approx((0.11, 0.12, 0.13))
    assert (found.laid.moves.fed_mm, found.laid.moves.dwell_s) == (2, 4)


# -------------------------------------------------------------------------------- learning


class Piece(SimpleNamespace):
    """A planned piece, told apart by which one it is."""

    __hash__ = object.__hash__
    __eq__ = object.__eq__


def piece(name="tower", number=1, mass=0.1, seconds=1000.0):
    made = Effort(mass=exact(mass), time=exact(seconds), filament_m=exact(30.0 * mass))
    return Piece(part=name, within=(number, 2), effort=made)


def made(name="tower", number=1, **given):
    return MadeEntry.model_validate({"part": name, "piece": number, **given})


def learning_from(*entries, weighed=()):
    parts = [SimpleNamespace(name=name, weighed=quantity(kg)) for name, kg in weighed]
    parts.append(SimpleNamespace(name="light", weighed=None))
    return of_sheet(bed(made=entries), part=parts)


def test_what_scale_and_clock_say_of_made_pieces_is_learned():
    pieces = [piece(), piece(number=2, mass=0.2, seconds=2000.0), piece("light")]
    vehicle = learning_from(made(weighed="120 g"), made(number=2, weighed="180 g", took="3000 s"))
    found = learning.learned_from(vehicle, pieces)
    assert (found.mass.value, found.weighed) == (pytest.approx(1.0), 2)
    assert (found.time.value, found.timed) == (pytest.approx(1.5), 1)
    nothing = learning.learned_from(of_sheet(None, part=()), pieces)
    assert (nothing.weighed, nothing.timed) == (0, 0)


def test_a_part_weighed_whole_counts_unless_its_pieces_do():
    pieces = [piece(), piece(number=2, mass=0.2), piece("cap", mass=0.05)]
    whole = learning.learned_from(learning_from(weighed=[("tower", 0.33), ("away", 1.0)]), pieces)
    assert (whole.mass.value, whole.weighed) == (pytest.approx(1.1), 1)
    both = learning_from(made(weighed="90 g"), weighed=[("tower", 0.33), ("cap", 0.05)])
    found = learning.learned_from(both, pieces)
    assert (found.mass.value, found.weighed) == (pytest.approx(0.14 / 0.15), 2)


def test_a_made_piece_is_what_scale_and_clock_say_and_others_what_was_learned(monkeypatch):
    def renewed(one, **given):
        return replace(one, **given) if isinstance(one, Effort) else SimpleNamespace(**given)

    monkeypatch.setattr(learning, "replace", renewed)
    pieces = [piece(), piece(number=2)]
    vehicle = learning_from(made(weighed="120 g +- 2 g", took="1500 s"))
    first, second = learning.as_learned(vehicle, pieces, learning.learned_from(vehicle, pieces))
    assert (first.is_made, second.is_made) == (True, False)
    assert (first.effort.mass.low, first.effort.mass.value) == pytest.approx((0.118, 0.12))
    assert first.effort.mass.known_by is KnownBy.WEIGHED
    # 30 m to the kilogram.
    assert (first.effort.filament_m.value, first.effort.time.value) == pytest.approx((3.6, 1500.0))
    assert second.effort.mass.value == pytest.approx(0.12)
    assert second.effort.mass.known_by is not KnownBy.WEIGHED


# --------------------------------------------------------------------------------- samples


@pytest.fixture
def pieces_to_print(monkeypatch):
    """Parts, rods and fins of a sheet; bodies and their looks are not made."""
    monkeypatch.setattr(samples, "sound", lambda body, name: name)
    monkeypatch.setattr(samples, "cornered", lambda body: body)
    monkeypatch.setattr(samples, "is_printed", lambda _vehicle, one: one.spec.print is not None)
    body = SimpleNamespace(scale=lambda by: by, rotate=lambda by: SimpleNamespace(scale=lambda by: by))
    for name in ("cube", "pull_bar"):
        monkeypatch.setattr(samples, name, lambda: body)
    for name in ("clearance_gauge",):
        monkeypatch.setattr(samples, name, lambda _across: body)
    monkeypatch.setattr(samples, "strip_holder", lambda _thick, _play: body)
    halves = []
    monkeypatch.setattr(samples, "joint_halves", lambda *given: halves.append(given) or (body, body))
    monkeypatch.setattr(samples, "parts_on_bed", lambda _vehicle: [SimpleNamespace(part="tower", pieces=2)])

    def found(*parts, rods=(), fins=()):
        halves.clear()
        sheet = SimpleNamespace(print=bed(), rod=rods, fin=fins)
        told = SimpleNamespace(sheet=sheet, parts=parts, us_units=False, files=None)
        return [(one.kind, one.subject, one.count) for one in samples.samples(told)], list(halves)

    return found


def cut_part(name="tower", *cuts, stuff="PETG", printed=True):
    spec = SimpleNamespace(
        name=name, material=stuff, print=printed or None, dowels=None, glued=False,
        cuts=[SimpleNamespace(held_by=kind.value) for kind in cuts],
    )  # fmt: skip
    return SimpleNamespace(spec=spec)


def test_each_material_wants_a_cube_and_five_bars_of_either_way(pieces_to_print):
    plain = [cut_part("cap"), cut_part("foot"), cut_part("nose", stuff="PLA")]
    found, _ = pieces_to_print(*plain, cut_part("deck", stuff="ply", printed=False))
    kinds = samples.SampleKind
    assert found == [
        *[(kind, stuff, count) for stuff in ("PETG", "PLA")
          for kind, count in ((kinds.CUBE, 1), (kinds.BAR_ALONG, 5), (kinds.BAR_ACROSS, 5))],
        (kinds.GAUGE, "dowel of 5 mm", 1),
    ]  # fmt: skip


def test_each_part_that_is_cut_wants_two_halves_of_its_joint(pieces_to_print):
    kinds = samples.SampleKind

    def joints(*parts):
        found, halves = pieces_to_print(*parts)
        return [(subject, count) for kind, subject, count in found if kind is kinds.JOINT], halves

    # Cut by the plan alone: its own joints are dowels. What rods clamp is tried by no sample.
    planned, ((dowels, wall_m, play_m),) = joints(cut_part())
    assert (planned, dowels, wall_m, play_m) == (
        [("tower", 2)],
        settings.USUAL_DOWELS,
        pytest.approx(0.0012),
        0.0003,
    )
    glued, ((without, *_),) = joints(cut_part("tower", JointKind.GLUE))
    assert (glued, without) == ([("tower", 2)], None)
    assert joints(cut_part("tower", JointKind.RODS))[0] == []
    assert joints(cut_part("cap"))[0] == []
    assert joints(cut_part("cap", JointKind.DOWELS))[0] == [("cap", 2)]
    assert joints(cut_part("cap", JointKind.DOWELS, printed=False))[0] == []


def test_rods_and_fins_want_a_gauge_and_a_strip_each(pieces_to_print):
    fins = [SimpleNamespace(thickness=quantity(0.004), material="ply")]
    found, _ = pieces_to_print(rods=(rod(), rod(thread="M8"), rod()), fins=fins)
    kinds = samples.SampleKind
    assert found == [
        (kinds.GAUGE, "rod of 6 mm", 1), (kinds.GAUGE, "rod of 8 mm", 1), (kinds.STRIP, "ply", 1),
    ]  # fmt: skip
