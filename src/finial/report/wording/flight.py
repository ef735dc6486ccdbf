"""Off the rail, and to the ground."""

from finial.report.wording.form import Wording

_MARGIN_FIRST = "First the margin: what the air does not bring back neither swings nor settles."
WORDS = {
    "rail-exit-speed": Wording(
        title="speed off the rail",
        why="Below it the fins have no grip yet and the wind turns the vehicle as it leaves.",
        fixes={"faster": "Length of the rail, weight, the motor's early thrust and the wind decide it."},
    ),
    "thrust-to-weight": Wording(
        title="thrust to weight",
        why="Too little thrust leaves the rail slowly and tilts into the wind.",
        reasons={"usual": "This is the floor; below {usual} is a caution."},
        fixes={"more-thrust": "The motor's average thrust and the weight decide it."},
    ),
    "motor-gives": Wording(
        title="impulse of {name} over the weight of its propellant",
        why="No propellant gives another: thrust curve and masses are not of one motor.",
        fixes={"look": "Compare curve, propellant_mass and units with the motor's data sheet."},
    ),
    "cluster-in-step": Wording(
        title="how far the thrust of the cluster strays from its line",
        why="Motors beside the axis that light or burn out apart turn it over; the computed flight does not"
        " show that.",
        fixes={
            "in-step": "Motors of one kind and one ignition delay, each opposite another, burn"
            " in step; so does one alone."
        },
    ),
    "motor-weighs": Wording(
        title="mass of {name} over its room",
        why="Mass, length or diameter is of another motor, and the balance point with it.",
        fixes={"look": "Compare loaded_mass, length, diameter and units with the motor's data sheet."},
    ),
    "burns-once": Wording(
        title="{name} burns once",
        why="A motor that goes out and lights again may do so on the rail or leaning over: chuffing.",
        limits={"": "thrust that does not come back"},
        fixes={
            "other": "By its curve it is out at {time} and back later: of another motor, or two in one file."
        },
    ),
    "lifts-soon": Wording(
        title="time to thrust above the weight with {name}",
        why="A motor that smokes on the pad is taken for a misfire, and burns propellant that should lift.",
        limits={"never": "more thrust than weight"},
        fixes={
            "other": "Its thrust comes too late or too little for this weight: another motor, or less mass."
        },
    ),
    "motor-claims": Wording(
        title="{name} against what its maker claims",
        limits={"": "as claimed"},
        fixes={
            "look": "Claimed {case}: {claimed}, by the curve {found}. Compare curve and claims with the"
            " motor's data sheet: one of them is of another motor."
        },
    ),
    "methods-range": Wording(
        title="top speed within the methods' range",
        why="The air loads hold to Mach {mach}; beyond it every margin here is a guess.",
        limits={"": "below Mach {mach}"},
        fixes={"slower": "It flies faster than the methods hold for."},
    ),
    "lands": Wording(
        title="flight computed to the ground",
        why="A flight that could not be followed to the ground is not an answer.",
        limits={"": "lands"},
        fixes={"stopped": "The computed flight stopped: {ended}."},
    ),
    "opens-in-the-air": Wording(
        title="{name} is open before the ground",
        why="A canopy that comes out too late is no canopy: the vehicle meets the ground at full speed.",
        limits={"": "open in the air, in every flight computed"},
        fixes={
            "earlier": "The event of {name}, or its delay, is too late for it; canopy, charge"
            " and igniter say it alike."
        },
    ),
    "lost-flight": Wording(
        title="the computed flight: {case}",
        why="A flight that is lost tells nothing more: every number after it is not to be used.",
        limits={"": "kept from the rail to the ground, in every flight computed"},
        reasons={"when": "It happens at {time}, {thrust}, in the {flight} flight."},
        fixes={
            "more-thrust": "Its thrust does not lift it off the rail.",
            "straighten": "It goes over at {time}, {thrust} ({flight} flight): balance point and"
            " thrust are not in one line, or the air pushes ahead of the balance"
            " point.",
            "later": "A canopy comes out at {time}, {thrust} ({flight} flight): its event is too early.",
            "look": "Look at the flight: it could not be followed.",
        },
    ),
    "before-burnout": Wording(
        title="{name} before burnout",
        why="What comes out or fires under thrust is torn off, or fires among the people at the rail.",
        limits={"": "nothing"},
        fixes={"later": "The event of the {kind} {name} comes before burnout."},
    ),
    "guide": Wording(
        title="rail buttons",
        why="How it leaves the rail hangs on where the buttons stand.",
        limits={"": "in the sheet"},
        fixes={"enter": "Enter [guide] with the stations of the buttons."},
    ),
    "buttons-apart": Wording(
        title="lean that the buttons' play allows",
        why="Buttons close together do not guide: the vehicle leaves leaning.",
        fixes={
            "further-apart": "Buttons further apart steer it longer; the fore one usually stands near"
            " the balance point."
        },
    ),
    "buttons-across-joint": Wording(
        title="rail buttons on one side of every joint",
        why="Pins and a shoulder bend as the rail pushes, and buttons that bend out of line jam.",
        reasons={"between": "Between them lies {joints}."},
        limits={"": "no joint that comes apart between them"},
        fixes={"one-half": "All buttons belong on the half that holds the motor."},
    ),
    "rail-for-buttons": Wording(
        title="travel on both buttons over travel on one",
        why="A rail short for its gap of buttons lets go of the first one before there is speed.",
        fixes={"longer-rail": "The rail is too short for the buttons' distance."},
    ),
    "rail-exit-wind": Wording(
        title="speed off the rail over the wind",
        why="The slower it leaves against the wind, the further it turns into it.",
        fixes={"faster": "Length of the rail, weight, the motor's early thrust and the wind decide it."},
    ),
    "rail-exit-angle": Wording(
        title="angle the wind makes off the rail",
        why="Air from the side as it leaves turns it before the fins hold.",
        fixes={"faster": "Length of the rail, weight, the motor's early thrust and the wind decide it."},
    ),
    "off-axis": Wording(
        title="angle at which the air holds the thrust's turning",
        why="The balance point lies {arm} beside the line of thrust: it flies at an angle, or goes over.",
        reasons={"unheld": "At the bad end the air holds it at no angle: it turns round."},
        fixes={
            "balance": "Balance point and thrust are in line only where masses, or the motor,"
            " stand across from where they are.",
            "margin-first": "As computed the air holds it, at the bad end it does not: first the margin.",
        },
    ),
    "cluster-lights": Wording(
        title="angle at which the air holds the cluster without {motor}",
        why="Of {count} motors one that does not light leaves the rest {arm} beside the balance point.",
        reasons={"unheld": "At the bad end the air holds them at no angle: it turns round."},
        fixes={
            "nearer-together": "The nearer the motors stand, or the nearer each points to the balance"
            " point, the less one alone turns it.",
            "test-igniters": "Test igniters and their current for all of them at once, and ask the RSO.",
        },
    ),
    "steady-angle": Wording(
        title="angle it flies at when nothing disturbs it",
        why="A shape that leans, thrust or drag beside the balance point, or a spin that works itself up"
        " keeps it at an angle: it drifts to one side and loses height.",
        fixes={
            "straighten": "A crooked shape or thrust, ballast off the axis and canted fins bring it about."
        },
    ),
    "tip-off": Wording(
        title="turn on the last button as it leaves",
        why="Between the first button and the last only one holds: wind and thrust turn it about that.",
        fixes={
            "shorter-gap": "The buttons' distance, the speed off the rail and the thrust's line decide it."
        },
    ),
    "swing": Wording(
        title="damping of a swing over the damping that ends it",
        why="With little damping a gust keeps it swinging, with none each swing is wider than the last.",
        reasons={
            "back": "It swings back over {wave} of its way.",
            "no-swing": "In some computed flight the air does not bring it back: there is no swing to end.",
        },
        fixes={
            "more-fin": "Fins too far forward, or in the air that a blunt front slows, damp little.",
            "margin-first": _MARGIN_FIRST,
        },
    ),
    "air-keeps-up": Wording(
        title="way flown in the shortest swing",
        why="In a shorter swing the force of the fins and the wake behind the body come late and drive it:"
        " damping, swing and angles are then not those computed here.",
        reasons={
            "by-fins": "Fins have a mean chord of up to {chord}.",
            "by-body": "Without fins the width of the body decides.",
            "no-swing": "In some computed flight the air does not bring it back: there is no swing.",
        },
        fixes={
            "slower-swing": "The fins' chords, the margin and the mass at either end decide it.",
            "margin-first": _MARGIN_FIRST,
        },
    ),
    "gallop": Wording(
        title="angle to the air at which flats feed a swing",
        why="Wind across flat faces pushes a swing on instead of ending it. The angle asked is the largest"
        " that it meets off the rail or keeps to; a right angle stands for none. The computed flight does not"
        " show this.",
        fixes={"faster": "The speed off the rail, the wind, the corners and the fins decide it."},
    ),
    "lopsided": Wording(
        title="angle to the air at which vortices push aside",
        why="Beyond it the vortices behind a pointed or long shape stand lopsided and push to either side, by"
        " half of the side wind's own force and more; the computed flight does not show this. The angle asked"
        " is the largest that it meets off the rail or keeps to.",
        fixes={"faster": "The speed off the rail, the wind and the tip decide it."},
    ),
    "turned-shape": Wording(
        title="how far the body turns like a screw, from tip to base",
        why="A body that turns about its axis spins as canted fins do; how fast, nothing here computes, and"
        " where roll and pitch meet it cones.",
        limits={"no-screw": "no outline that keeps turning one way"},
        fixes={
            "measure-roll": "Let a tunnel or a flight with a roll log tell how it spins, or straighten it."
        },
    ),
    "spin": Wording(
        title="roll rate over pitch frequency",
        why="Where both meet, a small misalignment swings up and the body cones.",
        reasons={
            "no-swing": "In some computed flight the air does not bring it back: it swings as slowly as can"
            " be, and any roll is faster."
        },
        fixes={"less-cant": "The fins' cant decides it.", "margin-first": _MARGIN_FIRST},
    ),
}
