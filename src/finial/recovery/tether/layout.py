"""Where each number stands: in the state, and in the rows of pieces and lines that the kernel reads."""

X, Z, ANGLE, SPEED_X, SPEED_Z, RATE, FILLED = range(7)
"""Rows of the state, shape (7, cases, pieces); the last is the distance a canopy has filled over [m]."""

(
    MASS,
    INVERSE_INERTIA,
    HALF_DRAG_END_ON,
    HALF_DRAG_SIDE_ON,
    TURNING_DRAG,
    HALF_DRAG_BUNDLE,
    HALF_DRAG_OPEN,
    FILLING,
    EXPONENT,
    GRAVITY,
) = range(10)
"""Columns of a piece: mass [kg]; inverse inertia, 0 for points; half the density times the drag areas [kg/m];
moment over rate squared [kg m^2]; what filling adds [kg/m]; filling distance [m]; exponent;
gravity [m/s^2]."""

(
    FIRST_ALONG,
    FIRST_ACROSS,
    SECOND_ALONG,
    SECOND_ACROSS,
    LENGTH,
    STIFFNESS,
    LOSS,
    MOUTH_ALONG,
    MOUTH_RADIUS,
    MOUTH_WAY,
) = range(10)
"""Columns of a line: where it is tied [m], length [m], stiffness [N/m], loss [-], and its mouth, whose way
is +1 open to the fore, -1 to the aft, 0 none."""
TENSION, BEND, LIP_SIDE, STRETCHING, FASTEST = range(5)
"""What is told of a line at an instant: pull [N], bend over a lip [rad], +1 the lip to the left of the axis,
-1 the one to the right, 0 none; how fast it stretches [m/s], and, put in, its fastest since it came taut."""
SHOWN = 3
"""How many of these are kept for every step."""
SLACK = -1e300
"""Stretching of a slack line."""
FIRST, SECOND = range(2)
"""Ends of a line: the pieces it is tied to."""
