"""Mass, meshes, limits, and the tail."""

from finial.report.wording.form import Wording

LOOK = {
    "look": "Run finial check without --quick.",
    "stopped": "The look stopped: {error}",
}
ENTERED = Wording(
    title="[{name}] in the sheet",
    why="What hangs on it was not looked at, and what was not looked at never counts as go.",
    limits={"": "written"},
    reasons={
        "material": "Without materials and walls nobody knows mass, balance and strength.",
        "motor": "Without a motor nobody knows thrust, flight, margins, strength, or how it is held.",
        "launch": "Without rail, wind and field nobody knows how it leaves the rail, where it lands, and how"
        " far people must stand.",
        "recovery": "Without a canopy it comes down as it is: landing, opening, cords and lip are not known.",
        "electronics": "Without igniters nothing fires a charge: whether anything comes out is not known.",
    },
    fixes={
        "bore": "The bore at the base is {across} across and {deep} deep.",
        "room": "The base is open, and a tube of {across} goes in {deep}.",
        "fit": "{count} of the motors in motors/ ({known} in all) would go in by their size: {named}.",
        "none-fits": "None of the motors in motors/ ({known} in all) goes in.",
        "no-motors": "Put motors' files into motors/ beside the sheet, and those that go in are named here.",
        "no-room": "No room for a motor is drawn at the base: cut a bore there, or say it under bores.",
        "material": "Write a sheet (finial new shows one) with a [[part]] for each mesh: mesh, material, and"
        " print = {{ wall, infill }} or weighed.",
        "motor": "Write [motor] with data, a motor's file, and nozzle_station; [[rod]], [[fin]] and [guide]"
        " where it has them.",
        "launch": "Write [launch] with site, a field's file, rail_length, wind, wind_from, terrain,"
        " temperature and code.",
        "recovery": "Write [recovery] with [[recovery.joint]], [[recovery.bay]], [[recovery.canopy]],"
        " [[recovery.cord]] and [[recovery.charge]].",
        "electronics": "Write [[electronics.battery]], [[electronics.switch]], [[electronics.computer]] and"
        " an [[electronics.igniter]] for each charge.",
    },
)
STILL_GUESSED = Wording(
    title="material and print of {name}",
    why="Nobody has said what it is made of or how thick its walls are: mass, balance and strength stand on a"
    " guess.",
    limits={"": "known"},
    fixes={
        "say": "Set material and print as you print it, or weighed once it is printed, and take"
        " guessed = true out."
    },
)
WORDS = {
    "entered": ENTERED,
    "still-guessed": STILL_GUESSED,
    "guessed-mass": Wording(
        title="guessed share of the mass",
        why="Mass that nobody weighed moves the balance point, the rail exit and the landing at once.",
        fixes={"weigh": "Weigh {rows}."},
    ),
    "meshes": Wording(
        title="meshes",
        why="Every load starts from the outer outline; a hole or a doubled body in the mesh moves it.",
        limits={
            "": "closed bodies",
            "repaired": "closed bodies, or repaired to be",
            "together": "bodies that hang together",
        },
        fixes={
            "floats": "A body of {parts} hangs in the air, touching nothing.",
            "open": "The mesh of {parts} has holes that could not be closed: look at what was repaired, and"
            " mend it in CAD.",
            "mended": "The mesh of {parts} was no closed body: faces were turned, holes closed or doubles"
            " dropped. Look at the picture whether that is what was drawn, and mend it in CAD.",
            "bridged": "Some cuts of the outline do not close: look at what was repaired, and mend it in"
            " CAD.",
            "crosses": "The surface of {parts} passes through itself, and its volume is known to -20 / +10 %"
            " only: mend it in CAD, or weigh the part.",
        },
    ),
    "own-limits": Wording(
        title="the build sheet's own limits",
        why="A verdict is worth what its limits are: whoever reads go must know which were let out.",
        limits={"": "none laxer than usual"},
        fixes={
            "no-limit": "What just meets {none} breaks, tears or stays shut all the same.",
            "laxer": "{limit} is {own}, where {usual} is usual.",
            "say-why": "Take such limits out of [limits], or be ready to say why.",
        },
    ),
    "usual-numbers": Wording(
        title="numbers of the sheet",
        limits={"": "each within what it usually is"},
    ),
    "usual-number": Wording(
        title="{case} of {name}, as usual",
        why="Outside what anybody flies lies another unit or a lost decimal point, and whatever is computed"
        " from it means nothing.",
        fixes={"look": "The sheet says {written}. Look at it and its unit again."},
    ),
    "ends-of-numbers": Wording(
        title="how far numbers of the sheet may be off",
        limits={"": "nothing fails at either end"},
        fixes={"later": "Mend what loses the flight, then look again."},
    ),
    "end-of-number": Wording(
        title="{case} of {name} at the {end} end of what is taken for it",
        why="A number is worth no more than how well it is known.",
        limits={"": "nothing fails there"},
        reasons={
            "fails": "The sheet says {written}; there {check} fails.",
            "refused": "The sheet says {written}; there it cannot be built.",
            "usual": "The sheet does not say how far it may be off: {reach} is usual.",
        },
        fixes={"measure": "Measure it and write how far it may be off, or make room for that end."},
    ),
    "exhaust-clear": Wording(
        title="exhaust clear of the tail",
        why="A nozzle deep inside the tail loses thrust there and plays its flame on printed walls.",
        limits={"": "a motor diameter inside the base at most"},
        fixes={"move-aft": "The nozzle stands {inside} inside the base, and nothing lines the tail."},
    ),
    "strength-looked": Wording(
        title="strength looked at for long",
        why="Every load case, warm walls, rods, fins in the wind: what the quick look leaves out may say no.",
        limits={"": "looked at"},
        fixes=LOOK,
    ),
    "recovery-looked": Wording(
        title="recovery followed in time",
        why="Charges, canopies and cords in time: what the quick look leaves out may say no.",
        limits={"": "looked at"},
        fixes=LOOK,
    ),
    "motor-acceleration": Wording(title="acceleration in g"),
    "motor-cannot-fly": Wording(title="cannot be flown: {error}", limits={"": "a flight"}),
    "motor-unreadable": Wording(title="{field}: {given}", limits={"": "{accepted}"}),
    "motor-misfit": Wording(
        title="{case} of {name} in its mount",
        fixes={"other": "What the mount takes is takes and room under [motor]."},
    ),
    "layer-over-nozzle": Wording(
        title="layers of {name}",
        why="Layers that are thick for their nozzle of {nozzle} are laid beside rather than on each other,"
        " and part at a fraction of the strength taken here.",
        fixes={"thinner": "It takes thinner layers, or a wider nozzle; nozzle under [print] says which."},
    ),
    "fits-the-bed": Wording(
        title="{name} on the printer's bed",
        why="A part that is cut to be printed has a joint that the strength here knows nothing of.",
        limits={"": "one piece"},
        fixes={
            "cut": "{name} is {side_x} by {side_y} by {side_z}: standing square on the bed it needs {pieces}"
            " pieces at least. Cut it into parts of the sheet, and say what holds them together; or enter a"
            " larger bed."
        },
    ),
}
