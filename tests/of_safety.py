"""Which findings are about safety, and which are not, by their keys: said here once more than in their rules.

A rule that is in neither list is asked nothing. Told, among others, on the card and in every answer's data.
"""

OF_SAFETY = frozenset(
    """
    accelerometer-range airspace all-clear all-held arming-switches backup-independent
    barometer-rises batteries-warm bay-closed bay-end-plate bay-opener bay-room bay-tube-covers
    bay-tube-entered bay-tube-stuff bay-tube-wall bay-wall-stuff before-burnout brittle-in-the-cold
    brought-down burns-once button-foot button-in-rail button-on-skin button-pull-out button-reach
    button-roots button-spacing button-test buttons-across-joint buttons-and-balance
    bystander-distance canopies-fired canopy-cloth canopy-drag canopy-in-bay canopy-lines
    charge-fired charge-in-time charge-parts-joint charge-roles cluster-in-step computers-disagree
    computers-fire continuity-current cord-across-joint cord-ends cord-in-time end-of-number
    ends-of-numbers entered field-size fins firing-current first-motion glue-sticks ground-test
    guide height-fired held igniter-currents joint-between-parts joint-force joint-free joint-opener
    layer-over-nozzle lift-off-carried lift-off-felt lift-off-knocked lifts-soon lost-flight
    mach-lockout margin motor-at-plate motor-bears motor-claims motor-gives motor-held motor-play
    motor-weighs nut-reached nuts-reached opens-in-the-air over-people own-centre own-drag own-event
    own-limits own-numbers own-odds pack-exit pack-leaves-bay pack-size pad-pressure ports-behind
    ports-even ports-large ports-room ports-size ports-smooth printed-stuff protector
    protector-covers rail-clear rail-fins rail-for-buttons shape-and-things shoulder single-points
    spin standoff stays-up still-guessed swing switch-at-rest thrust-to-weight timer-after-top
    top-early top-late tunnel-agrees tunnel-study turned-shape usual-number usual-numbers wired-in
    """.split()
)
NOT_OF_SAFETY = frozenset(
    """
    all-get-in clean-air cord-mass exhaust-clear fin-root fits-the-bed gets-in guessed-mass
    in-its-room lands lip-holds loose-pieces mass-and-size masses-and-sizes meshes methods-range
    motor-acceleration motor-cannot-fly motor-misfit motor-room motor-tube-weighed motor-unreadable
    nothing-brittle nothing-sheds-in-step nothing-softens pad-time part-weight part-weights
    pins-straight plate-placed pull-test-cord sides-keep-apart sizes-given sled-placed
    soft-in-the-sun stays-would-help test-bars waits-for-height wall-as-drawn warm-part
    whole-balance whole-mass whole-weighed
    """.split()
)
