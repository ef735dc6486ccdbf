"""How the checks of the sheet itself, its meshes, masses and limits find what they judge."""

from finial.report.wording.ways.form import HowFound

WAYS = (
    HowFound(
        page="conventions",
        heading="Estimates and verdicts",
        told={
            "entered": "The tables of the sheet that it does not have yet are listed, one finding each.",
            "still-guessed": "Parts that the sheet marks guessed = true are listed; a guess is never go.",
            "own-limits": "Each of the sheet's own [limits] beside the usual one: laxer is a caution, and"
            " past the point where meeting it means that the thing fails, a no-go.",
            "usual-number": "The number, in SI, against the smallest and largest that anybody is likely to"
            " fly; outside is not known, ten times outside is a no-go.",
            "usual-numbers": "Every number of the sheet against the smallest and largest that anybody is"
            " likely to fly.",
            "end-of-number": "Each number that may be off by what no interval of the answer holds is put at"
            " either end and judged by the quick look, all of them together by the whole one; what fails"
            " there and not in the middle is not known.",
            "ends-of-numbers": "Each number that may be off by what no interval of the answer holds, and"
            " the bearings of wind and rail, at either end.",
            "strength-looked": "Whether every load case was worked out, as the long look does; the quick"
            " look knows thrust and top speed alone.",
            "recovery-looked": "Whether charges, openings and cords were followed in time, as the long"
            " look does.",
        },
    ),
    HowFound(
        page="conventions",
        heading="Units",
        told={
            "meshes": "Edges with one triangle are counted before and after repair; where more than a"
            " twentieth of an outline had to be bridged, what stands on it is a guess.",
        },
    ),
    HowFound(
        page="weighing-and-balancing",
        heading="Weigh it, hang it",
        told={
            "guessed-mass": "Sum of the masses that are only assumed, over the mass at lift-off.",
            "part-weight": "The scale against volume of the mesh as printed (walls, infill) x density, a"
            " third more or less beyond its spread; twice that is another part or another unit.",
            "part-weights": "Each weighed part against volume of its mesh as printed x density.",
            "whole-weighed": "Whether the sheet has the whole on a scale and hung level.",
            "whole-mass": "The scale's reading against the sum of the mass table, both with their intervals.",
            "whole-balance": "Where it hangs level against sum(m x) / sum(m) of the mass table.",
        },
    ),
    HowFound(
        page="methods-flight",
        heading="Motor",
        told={
            "motor-acceleration": "Highest acceleration of the computed flight over 9.80665 m/s2, against"
            " what the choice of motors was asked to keep to.",
            "motor-cannot-fly": "What of the motor's data no flight can be computed from.",
            "motor-unreadable": "What of the motor's file cannot be read, with the place.",
            "motor-misfit": "Diameter and length of the motor against those that the sheet says its mount"
            " takes.",
            "motor-gives": "Specific impulse, total impulse / (propellant mass x g): black powder gives"
            " about 80 s, composites up to 250 s (Sutton and Biblarz, from memory).",
            "burns-once": "Thrust below a tenth of the most, between two times above a quarter of it.",
            "lifts-soon": "Time from the first thrust until all motors together push more than the weight.",
            "motor-weighs": "Loaded mass over the cylinder of its diameter and length, against solid"
            " aluminium.",
            "motor-claims": "Impulse, burn time between the points at 5 % of the peak, and average thrust"
            " of the curve, beside what the motor's file claims.",
        },
    ),
    HowFound(
        page="methods-structure",
        heading="Materials",
        told={
            "own-numbers": "Own strength and stiffness against twice, own density within a quarter of, own"
            " softening against 20 K above, those of the material that it is like; across against along.",
            "glue-sticks": "Both sides of each glued joint against what the table's row of its glue is told"
            " for, and whether it stands a blow.",
            "printed-stuff": "The kind of each material that the sheet gives walls and infill: wood, sheet"
            " and metal have none.",
            "test-bars": "Bars broken in each direction, against the five of ISO 527-1.",
        },
    ),
    HowFound(
        page="methods-inside",
        heading="Things as solids",
        told={
            "layer-over-nozzle": "Height of the layers against four fifths of the nozzle's bore, 0.4 mm"
            " where the sheet names none.",
            "fits-the-bed": "Sides of the part's bounding box, turned by right angles, against those of"
            " the printer's bed: in how many pieces it must be printed.",
        },
    ),
    HowFound(
        page="methods-flight",
        heading="State and forces",
        told={
            "exhaust-clear": "Length less the nozzle's station, in motor diameters: one is a caution, two"
            " a no-go.",
        },
    ),
)
