"""How the checks of people, field, sky and weather find what they judge."""

from finial.report.wording.ways.form import HowFound

WAYS = (
    HowFound(
        page="methods-recovery",
        heading="Range safety",
        told={
            "crowd-distance": "The distance entered against the code's table, by total impulse, and by how"
            " many fly at once.",
            "over-people": "Distance of every computed flight's track over the ground to where people stand.",
            "bystander-distance": "The larger of a quarter of the highest apogee and 457 m (14 CFR 101.25"
            " (g)).",
            "field-size": "The field's side where it is narrowest, against the code's table.",
            "airspace": "The class entered: other than G needs an authorisation (14 CFR 101.25 (f)).",
            "wind": "The day's wind, high end, against the code's.",
            "rail-tilt": "The rail's lean off the vertical, high end, against the code's.",
            "pad-pressure": "Pressure entered over that of the standard atmosphere at the site's height, 6"
            " % below or 4 % above at most.",
            "ceiling": "Highest apogee of all flights, thrust, mass, drag and wind at their ends, against"
            " the site's ceiling.",
            "lands-inside": "Farthest landing of all flights from the pad, against the site's radius.",
        },
    ),
)
