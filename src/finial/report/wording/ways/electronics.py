"""How the checks of firing paths, power and sensing find what they judge."""

from finial.report.wording.ways.form import HowFound

WAYS = (
    HowFound(
        page="methods-recovery",
        heading="Firing and batteries",
        told={
            "firing-current": "I = V / (R of cells, wires, switches and igniter), low end with every"
            " igniter of the event lit at once, against twice the all-fire current (common practice).",
            "stays-up": "V - I R of the cells while the igniters fire, less the least voltage of the"
            " computer.",
            "pad-time": "80 to 100 % of the capacity, times what the cold leaves, over the current of all"
            " computers on it.",
            "continuity-current": "The continuity current against a tenth of the no-fire current and 50 mA"
            " (after NASA Expendable Launch Vehicle Payload Safety Requirements, 13.8.1.1.1).",
            "igniter-currents": "The two currents of the igniter's data sheet are compared with each other.",
            "batteries-warm": "Air and a share of the sunlit wall's rise, nothing to half, a third in the"
            " middle (the sun over an upright round body is 1 / pi), against 60 degC for lithium cells.",
        },
    ),
    HowFound(
        page="methods-recovery",
        heading="What breaks alone",
        told={
            "single-points": "Every set of parts whose failure breaks all firing paths of a canopy is"
            " enumerated; those of one part are told.",
            "switch-odds": "The sheet's own odds that a switch stays open, 5 % at most, or closes"
            " unasked, 2 %.",
            "canopies-fired": "The wiring is followed from battery to charge: canopies that no path reaches.",
            "charge-fired": "Igniters of each charge are looked for, and their event is compared with its"
            " own.",
            "backup-independent": "Computers, batteries, switches and plugs of the backup's paths that are"
            " also the first charge's.",
            "own-event": "Event of the igniters that reach each canopy against the canopy's own.",
            "computers-fire": "Computers from which no igniter hangs.",
            "switch-at-rest": "Switches whose contacts rest open, with no other beside them in their group.",
            "wired-in": "Switches, batteries and ports that no computer names.",
            "arming-switches": "Computers without a switch between battery and firing circuit.",
        },
    ),
    HowFound(
        page="methods-recovery",
        heading="Ports",
        told={
            "ports-size": "Area of all holes against that of one 1/4 inch hole for each 100 cubic inches"
            " behind them.",
            "ports-large": "Area of all holes against four and ten times that of the same rule.",
            "ports-room": "bay_volume against the sum of free area x length between the plates nearest to the"
            " holes, whatever stands in it: more is not known, less than a fifth is a caution.",
            "ports-even": "max over k = 1, 2 of |sum(d^2 exp(i k phi))| / sum(d^2) of the holes round the"
            " body: how much of the wind stays in the reading, 0.15 at most.",
            "ports-smooth": "Distance of the holes to the nearest ledge or corner over how far its"
            " disturbance reaches.",
            "ports-behind": "Whether the holes lie within a bay that a charge opens, or where the room of no"
            " sled goes on: less than 2 mm are free about its axis beside a motor's tube.",
            "barometer-rises": "p_c q of the body's own flow at the holes, off the surface in a kept study of"
            " the tunnel, else by the sections, and the lag behind them, as height: how far the reading falls"
            " before the top.",
            "height-fired": "Set height corrected for the day's warmth, the wind over the holes and their"
            " lag, against four fifths of it.",
            "first-motion": "Height at which the computer sees lift-off, against what a gust over the"
            " holes reads as.",
            "lift-off-felt": "Acceleration along the leaning axis, less its offset, that is held without a"
            " break for as long as the computer waits; least of all flights.",
            "lift-off-knocked": "Time for which it must be felt, against the change of speed of a drop of"
            " 0.2 m that springs back whole, over the threshold less gravity; no knock is longer than 0.1 s.",
            "lift-off-carried": "Threshold less the offset, against twice gravity.",
            "timer-after-top": "The backup clock, from where its computer sees lift-off, less the latest top"
            " of all flights: of the campaign beside the sheet, else of the flight and its corners.",
            "top-early": "When what its leaning axis feels, cut off at its range, with its offset either way,"
            " less gravity, adds up to nothing. Least of all flights, against 3 s early.",
            "top-late": "As for the early end; largest of all flights, against 5 s late.",
            "accelerometer-range": "Largest acceleration on the way up, along an axis that leans to the side"
            " that feels most, against its range.",
            "computers-disagree": "The earliest of all computers that fire at the top: whatever the others"
            " say, its charge has fired. A barometer fires once its reading, over the doubt about the flow at"
            " the holes, has fallen by 1 to 5 m.",
            "mach-lockout": "Highest Mach number of the flights against 0.7 for a barometer that is not"
            " locked out.",
        },
    ),
)
