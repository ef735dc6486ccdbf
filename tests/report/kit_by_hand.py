"""A site kit whose map and what-if table are made by hand, for tests of its page."""

from dataclasses import replace

import numpy as np

from finial.assemble.vehicle.field import MarkOnField
from finial.campaign.quantiles import Quantile
from finial.campaign.spot import Spot
from finial.files.geojson import MarkKind
from finial.findings.field_map import FieldMap
from finial.findings.finding import Verdict
from finial.findings.landing_map import LandingMap
from finial.findings.latest_wind import LatestWind
from finial.findings.readiness import Readiness
from finial.findings.what_if import WhatIf, WhatIfTable
from finial.range_safety.hazards import MapFlights, on_marks
from finial.range_safety.leaning import Lean
from finial.report.checklist import checklist
from finial.report.kit_page import Kit

REVISION = "0123456789ab"
SQUARE = np.array([[0.0, 0.0], [9.0, 0.0], [9.0, 9.0], [0.0, 0.0]])


def map_by_hand(name: str, mark: str = "barn", *, us_units: bool = False) -> FieldMap:
    landings = np.array([[300.0, 400.0], [320.0, 380.0], [280.0, 430.0], [300.0, 390.0]])
    flown = MapFlights(flights=4, landings_m=landings, bare_m=-landings / 2, apogees_s=np.array([9.0, 10.0]))
    marks = (MarkOnField(kind=MarkKind.BUILDING, name=mark, rings_m=(SQUARE,), is_area=True),)
    return FieldMap(
        drawn=LandingMap(
            name=name,
            us_units=us_units,
            pad_rad=None,
            spot=Spot(field_radius_m=900.0),
            marks=marks,
            minimum_m=61.0,
            wind_m_s=3.0,
            wind_from_rad=3.9,
            landings_m=landings,
            bare_m=flown.bare_m,
            ellipse=None,
        ),
        flown=flown,
        bare=Quantile(share=0.95, value=250.0, low=None, high=None),
        on_marks=on_marks(marks, flown),
        leans=(Lean(tilt_rad=0.1, toward_rad=3.9, clearance_m=300.0),),
        own_clearance_m=-12.0,
        tops=Quantile(share=0.99, value=10.0, low=None, high=None),
        wind=LatestWind(wind_m_s=3.0, tolerance_m_s=1.0, in_a_calm=(), then_fails=(), most_m_s=8.94),
    )


def table_by_hand(failing) -> WhatIfTable:
    """Two masses, two balances, two winds: only the heaviest, aftmost in the stronger wind fails."""
    fine = WhatIf(
        verdict=Verdict.CAUTION, fails=(), least_margin_m=0.2, slowest_exit_m_s=17.0, farthest_m=400.0
    )
    bad = replace(fine, verdict=Verdict.NO_GO, fails=(failing,), farthest_m=950.0)
    return WhatIfTable(
        masses_kg=(9.0, 10.0),
        balances_m=(0.650, 0.670),
        winds_m_s=(2.0, 4.0),
        cells=(fine, fine, fine, fine, fine, fine, fine, bad),
    )


def kit_by_hand(answer: Readiness, sheet, **changes) -> Kit:
    failing = next(one for one in answer.findings if one.key == "lands-inside")
    kit = Kit(
        checked=answer,
        revision=REVISION,
        chapters=checklist(sheet, answer.range_safety),
        map=map_by_hand(answer.name, us_units=answer.us_units),
        what_if=table_by_hand(replace(failing, verdict=Verdict.NO_GO)),
    )
    return replace(kit, **changes)
