"""Numbers that a log, its cords, photos and a printer's motions are told in, of records made by hand."""

from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.prints.motions import LaidBy, SheetWall
from finial.assemble.start.photos import FacadeLength, FacadeRead, FacadeStorey, PhotoSeen
from finial.core.estimates import Estimate, KnownBy
from finial.flight.trace import EventKind
from finial.logbook.compare import Cause, ComparedNumber, Difference, LogComparison
from finial.logbook.cord import CordThen
from finial.logbook.refit import Learnt
from finial.logbook.sheet_changes import LeftAlone, SheetChange, SheetChanges, Untouched
from finial.logbook.unknowns import Unknown, UnknownKind
from finial.printing.laid import Laid
from finial.report.laid_text import laid_lines, laid_plain
from finial.report.log_curves import curves_of_debrief
from finial.report.photo_text import photo_plain, photo_section
from finial.report.refit_text import changes_section, comparison_section, cords_section, refit_section
from finial.report.refit_words import explained
from finial.report.shown import NOT_KNOWN, Shown
from finial.shape.facade import FacadeView, SeveralPhotos

METRIC, US = Shown(us_units=False), Shown(us_units=True)


def about(value, half, known_by=KnownBy.MEASURED):
    return Estimate(value=value, low=value - half, high=value + half, known_by=known_by)


def unknown(kind, canopy="", value=1.0, sigma=0.1):
    return Unknown(kind=kind, canopy=canopy, value=value, sigma=sigma, low=0.0, high=10.0)


def learnt(kind, before, after, canopy="", fixed=0.75, drawn=None):
    return Learnt(
        unknown=unknown(kind, canopy, before[0], before[1]),
        before=about(*before),
        after=about(*after),
        sigma=after[1],
        fixed=fixed,
        drawn=drawn,
    )


DRAG = learnt(UnknownKind.DRAG, (1.0, 0.1), (1.2, 0.03))
WIND = learnt(UnknownKind.WIND, (5.0, 2.0), (5.5, 1.0), fixed=-0.2)


def fit(*rows, misfit=1.0, settled=None):
    return SimpleNamespace(learnt=rows, misfit=misfit, settled=settled)


def apogee(predicted=400.0, measured=360.0, causes=()):
    return Difference(
        quantity=ComparedNumber.APOGEE,
        height_m=None,
        predicted=about(predicted, 20.0),
        measured=about(measured, 4.0),
        corrected=362.0,
        causes=causes,
    )


def test_a_difference_is_told_with_its_share_and_what_makes_most_of_it():
    causes = (
        Cause(unknown=DRAG.unknown, explains=-30.0, odds=0.85),
        Cause(unknown=WIND.unknown, explains=-4, odds=0.1),
    )
    told = explained(apogee(causes=causes), {"drag": 1.2, "wind": 5.5}, METRIC)
    # 40 m of 400 m; 30 of the 40 are drag's, which lies two deviations off; the wind a quarter.
    assert "(10 %) less" in told
    assert "outside the band" in told
    assert "1.20x makes 75 % of it (odds 0.85" in told
    assert "makes 10 % of it, within its scatter (odds 0.10" in told
    assert "(5 %) more" in explained(apogee(measured=420.0), {}, METRIC)
    assert "within the band" in explained(apogee(measured=420.0), {}, METRIC)
    # 3 m where the log leaves 4 m open.
    assert "no more than the log leaves open" in explained(apogee(measured=403.0), {}, METRIC)
    assert "no more than the log leaves open" not in explained(apogee(measured=405.0), {}, METRIC)


def test_numbers_of_a_log_stand_beside_those_predicted_and_doubts_below():
    found = LogComparison(differences=(apogee(),), another=0.5, signs=())
    section = comparison_section(found, fit(misfit=2.0), METRIC)
    (row,) = section.tables[0].rows
    assert row[1:] == ("400 m (380 to 420)", "360 m (356 to 364)", "362 m")
    assert (len(section.tables[0].columns), section.tables[0].numbers) == (4, (1, 2, 3))
    assert len(section.notes) == 1
    doubtful = LogComparison(differences=(apogee(),), another=0.51, signs=())
    notes = comparison_section(doubtful, fit(misfit=2.1), METRIC).notes
    assert len(notes) == 3
    assert "0.51" in notes[1]
    assert "2.1 times" in notes[2]


def cord(margin, late_s=1.25, *, beyond=False):
    return CordThen(cord="shock cord", late_s=late_s, pull_n=812.0, margin=margin, beyond=beyond)


def test_a_cord_is_late_or_early_and_its_margin_known_or_not():
    section = cords_section((cord(0.5), cord(-0.2, -2.0, beyond=True), cord(None)), METRIC)
    late, early, unknown_lip = section.tables[0].rows
    assert late[1] == "1.2 s late"
    assert (early[1], early[3]) == ("2.0 s early", "-0.2")
    assert not late[2].startswith("at least")
    assert early[2] == f"at least {late[2]}"
    assert (late[3], unknown_lip[3]) == ("0.5", NOT_KNOWN)
    assert section.tables[0].numbers == (2, 3)
    # What is said once; of the tube that was cut; of the lip that nobody told.
    assert len(section.notes) == 3
    assert len(cords_section((cord(0.0),), METRIC).notes) == 1
    assert len(cords_section((cord(None),), METRIC).notes) == 2
    assert len(cords_section((cord(-0.1),), METRIC).notes) == 2


def test_a_number_has_its_before_its_after_and_what_the_log_took_of_the_doubt():
    section = refit_section(fit(DRAG, WIND), METRIC)
    drag, wind = section.tables[0].rows
    assert drag[1:] == ("1.0 (0.9 to 1.1)", "1.20 (1.17 to 1.23)", "75 %")
    assert wind[3] == "0 %"
    assert (len(section.tables[0].columns), section.tables[0].numbers) == (4, (1, 2, 3))
    assert len(section.notes) == 1
    unsettled = refit_section(fit(DRAG, settled=0.4), METRIC)
    assert "40 %" in unsettled.notes[1]
    assert unsettled.tables[0].numbers == (1, 2, 3)
    drawn = learnt(UnknownKind.DRAG, (1.0, 0.1), (1.2, 0.03), drawn=about(1.25, 0.05))
    with_draws = refit_section(fit(drawn, WIND, settled=0.9), METRIC)
    assert [row[4] for row in with_draws.tables[0].rows] == ["1.25 (1.20 to 1.30)", NOT_KNOWN]
    assert with_draws.tables[0].numbers == (1, 2, 3, 4)
    assert len(with_draws.tables[0].columns) == 5
    assert "%" not in with_draws.notes[1]


def test_what_goes_into_the_sheet_is_told_by_its_place_and_what_stays_by_its_reason():
    change = SheetChange(learnt=DRAG, values={("air", "drag"): 1.2})
    found = SheetChanges(changes=(change,), untouched=(Untouched(learnt=WIND, reason=LeftAlone.THAT_DAY),))
    section = changes_section(found, written=False)
    assert section.facts == (("air.drag", "1.2"),)
    assert "--write" in section.notes[0]
    assert "--write" not in changes_section(found, written=True).notes[0]
    assert section.notes[1].endswith("of that day.")
    nothing = changes_section(SheetChanges(changes=(), untouched=()), written=False)
    assert nothing.facts == ()
    assert "--write" not in nothing.notes[0]


def flown(start_s=0.5, top_m=104.0, lift_off=True):
    """Stands for half a second on a pad 4 m up, then rises; felt 9 at first."""
    times = np.array([0.0, 0.5, 2.5, 4.5])
    heights = np.array([4.0, 4.0, top_m, 4.0])
    return SimpleNamespace(
        times_s=times,
        positions_m=np.column_stack([0 * heights, 0 * heights, heights]),
        velocities_m_s=np.column_stack([0 * heights, 0 * heights, [0.0, 50.0, 0.0, -50.0]]),
        accelerations_m_s2=np.column_stack([[1.0, 30.0, 2.0, 2.0]] * 3),
        event=lambda kind: (
            SimpleNamespace(time_s=start_s) if kind is EventKind.LIFT_OFF and lift_off else None
        ),
    )


def debrief():
    times = np.array([-1.0, 0.0, 2.0, 4.0])
    climb = SimpleNamespace(
        times_s=times,
        heights_m=np.array([0.0, 0.0, 90.0, np.nan]),
        speeds_m_s=np.array([0.0, 45.0, 0.0, -45.0]),
    )
    sensed = SimpleNamespace(times_s=times, axial_m_s2=np.full(4, np.nan))
    story = SimpleNamespace(climb=climb, reading=SimpleNamespace(sensed=sensed), happenings=())
    return SimpleNamespace(
        stories=(story,),
        prediction=SimpleNamespace(trace=flown()),
        refit=SimpleNamespace(trace=flown(top_m=94.0, lift_off=False)),
    )


def test_curves_of_a_log_and_its_prediction_share_one_time_from_lift_off():
    found = debrief()
    found.stories[0].climb.heights_m[3] = 0.0
    curves = curves_of_debrief(found)
    times = curves.times_s

    def read(values, at_s):
        return float(np.interp(at_s, times, values))

    # Half of the points until 1.3 times the apogee's 2 s, from 2 s before lift-off; then until the end.
    assert (times[0], times[-1]) == (-2.0, 4.0)
    assert (times <= 2.6).sum() == 600
    assert len(times) == 1199
    assert read(curves.log.height_m, 1.0) == pytest.approx(45.0)
    assert read(curves.log.climb_m_s, 3.0) == pytest.approx(-22.5, abs=0.1)
    assert np.isnan(curves.log.push_m_s2).all()
    assert np.isnan(curves.log.height_m[0])
    # Half a second later by its own clock; from the pad's height up; on the pad it feels one g.
    assert read(curves.predicted.height_m, 1.0) == pytest.approx(50.0, abs=0.1)
    assert read(curves.predicted.climb_m_s, 4.0) == pytest.approx(-50.0)
    assert read(curves.predicted.push_m_s2, -0.4) == pytest.approx(9.80665 + 0.2 * (30 - 9.80665), abs=0.1)
    assert read(curves.predicted.push_m_s2, 0.0) == pytest.approx(30.0, abs=0.2)
    # The corrected flight tells no lift-off: its own clock counts.
    assert read(curves.corrected.height_m, 1.5) == pytest.approx(45.0, abs=0.1)
    assert read(curves.corrected.push_m_s2, 0.25) == pytest.approx(15.5, abs=0.2)


def seen(name, distance_m, *, focal_px=3000.0, bowed_px=1.25, is_bent=False):
    view = FacadeView(to_plane=np.eye(3), focal_px=focal_px, distance_m=distance_m)
    return PhotoSeen(name=name, view=view, bowed_px=bowed_px, is_bent=is_bent)


def several(value, half, apart=0.0):
    return SeveralPhotos(length=about(value, half), apart=apart)


def facade(*photos, lengths=(), storeys=()):
    return FacadeRead(photos=photos, lengths=lengths, storeys=storeys)


def length(name, value, apart, photos):
    by_photo = tuple((photo, about(value, 0.1)) for photo in photos)
    return FacadeLength(name=name, by_photo=by_photo, together=several(value, 0.1, apart))


def test_lengths_are_told_over_the_first_and_photos_that_do_not_agree_by_how_far():
    found = facade(
        seen("a.jpg", 21.0),
        seen("b.jpg", None, focal_px=None, bowed_px=None, is_bent=True),
        lengths=(
            length("width", 8.0, 0.0, ("a.jpg",)),
            length("height", 20.0, 1.0, ("a.jpg", "b.jpg")),
            length("tower", 4.0, 9.0, ("a.jpg", "b.jpg")),
        ),
    )
    section = photo_section(found, METRIC)
    lengths, photos = section.tables
    assert [row[2:] for row in lengths.rows] == [
        ("1.000", "1", "one alone"),
        ("2.500", "2", "yes"),
        ("0.500", "2", "no: 9.0 deviations apart"),
    ]
    assert lengths.columns[2] == "over width"
    assert lengths.numbers == (2, 3)
    assert photos.rows == (("a.jpg", "21 m", "1.2 px"), ("b.jpg", NOT_KNOWN, NOT_KNOWN))
    assert photos.numbers == ()
    bent, flat, proud, apart = section.notes
    assert "b.jpg" in bent
    assert "b.jpg" in flat
    # One metre of the twenty that the camera stands from what is proud.
    assert proud.startswith("a.jpg")
    assert "1.0 m" in proud
    assert "5.0 %" in proud
    assert "tower" in apart
    assert len(photo_section(found, US).tables) == 2


def test_a_photo_taken_from_near_does_not_warn_of_what_is_proud():
    assert photo_section(facade(seen("near.jpg", 2.0)), METRIC).notes == ()
    assert len(photo_section(facade(seen("near.jpg", 2.1)), METRIC).notes) == 1
    assert len(photo_section(facade(seen("near.jpg", 2.0)), METRIC).tables) == 1


def test_storeys_stand_from_the_ground_up_and_alone_or_agreed():
    def storey(name, photos, apart):
        return FacadeStorey(
            name=name,
            outline="square",
            foot=several(3.0, 0.1),
            top=several(2.5, 0.1, apart),
            height=several(4.0, 0.2),
            photos=photos,
        )

    found = facade(
        seen("a.jpg", None), storeys=(storey("hall", 1, 0.0), storey("loft", 2, 0.5), storey("top", 2, 9.0))
    )
    table = photo_section(found, METRIC).tables[0]
    assert [row[4:] for row in table.rows] == [("1", "one alone"), ("2", "yes"), ("2", "no")]
    assert table.rows[0][1:4] == ("3.0 m (2.9 to 3.1)", "2.5 m (2.4 to 2.6)", "4.0 m (3.8 to 4.2)")
    assert table.numbers == (4,)
    plain = photo_plain(found)
    assert plain["storeys"][2]["agree"] is False
    assert plain["storeys"][0]["height_m"]["value"] == 4.0
    assert plain["photos"][0] == {
        "name": "a.jpg",
        "focal_px": 3000.0,
        "distance_m": None,
        "bowed_px": 1.25,
        "is_bent": False,
    }
    told = photo_plain(facade(seen("a.jpg", 9.0), lengths=(length("width", 8.0, 0.5, ("a.jpg",)),)))[
        "lengths"
    ]
    assert told[0]["by_photo"][0]["photo"] == "a.jpg"
    assert (told[0]["length_m"]["value"], told[0]["apart"], told[0]["agree"]) == (8.0, 0.5, True)


def laid_by(wall_mm=None, *walls_mm, us_units=False):
    """Twelve metres of filament in fifty layers; a wall is known to a fifth either way."""
    wall = None if wall_mm is None else about(1e-3 * wall_mm, 0.2e-3 * wall_mm)
    laid = Laid(
        filament_m=12.0,
        plastic_m3=2.886e-5,
        time=about(3600.0, 360.0, KnownBy.COMPUTED),
        layers=50,
        layer_m=0.2e-3,
        line_m=None if wall is None else 0.45e-3,
        lines=None if wall is None else 2.0,
        wall=wall,
    )
    walls = tuple(SheetWall(part=f"wall {mm}", wall_m=1e-3 * mm, mass=about(0.03, 0.001)) for mm in walls_mm)
    return LaidBy(file="box.gcode", us_units=us_units, laid=laid, walls=walls)


def written(told):
    return "\n".join(" ".join(line.text.split()) for line in laid_lines(told, width=140))


def test_what_a_printer_lays_is_told_with_its_walls_beside_those_of_the_sheet():
    # Between 0.8 and 1.2 mm, and a tenth of each end more, a wall is as the sheet says.
    text = written(laid_by(1.0, 0.71, 0.73, 1.31, 1.33))
    assert "12.00 m" in text
    assert "50 of 0.20 mm" in text
    assert "1.00 mm (0.80 mm to 1.20 mm)" in text
    assert "2 of 0.45 mm" in text
    said = [line for line in text.splitlines() if line.startswith("wall ")]
    assert ["as the sheet says" in line for line in said] == [False, True, True, False]
    assert "1.00 mm: thicker" in said[0]
    assert "1.00 mm: thinner" in said[3]
    assert "39.37 ft" in written(laid_by(1.0, 1.0, us_units=True))


def test_walls_that_were_not_found_are_not_known():
    text = written(laid_by(None, 1.0))
    assert text.count(NOT_KNOWN) == 3
    plain = laid_plain(laid_by(None, 1.0))
    assert (plain["wall_m"], plain["lines"], plain["line_m"]) == (None, None, None)
    assert plain["sheet"] == [{"part": "wall 1.0", "wall_m": 0.001}]
    known = laid_plain(laid_by(1.0))
    assert known["wall_m"]["value"] == 0.001
    assert (known["layers"], known["layer_m"], known["time_s"]["value"]) == (50, 0.2e-3, 3600.0)
