"""Two points on a cord, the case that has a closed form: for examples and tests."""

import numpy as np

from finial.recovery.tether.scene import Piece, Scene, TetherLine, TetherStart, Tie


def two_points(
    *, stretched_m: float = 0.0, speed_m_s: float = 15.0, loss: float = 0.0
) -> tuple[Scene, TetherStart]:
    r"""Return 2 kg and 6 kg on 6 m of nylon of 17.8 kN and 25 %, flying apart in empty space.

    Parameters
    ----------
    stretched_m : float
        How far the cord is stretched at the start; below 0 it is slack [m].
    speed_m_s : float
        Speed of parting, their common balance point at rest [m/s].
    loss : float
        Loss of the cord [-].

    Returns
    -------
    scene : Scene
        The two points and the cord.
    launch : TetherStart
        How they begin.

    Notes
    -----
    The case that has a closed form: :math:`F = v \sqrt{\mu k}`, with :math:`\mu = 1.5` kg and :math:`k` =
    11.9 kN/m.

    References
    ----------
    .. [1] Invented; nylon of Type III cord would stretch 30 %.

    Examples
    --------
    >>> len(two_points()[0].pieces)
    2
    """
    scene = Scene(
        pieces=(Piece(name="fore", mass_kg=2.0), Piece(name="aft", mass_kg=6.0)),
        lines=(
            TetherLine(
                name="cord",
                first=Tie(piece=0),
                second=Tie(piece=1),
                length_m=6.0,
                load_per_stretch_n=17_800.0 / 0.25,
                loss=loss,
            ),
        ),
        gravity_m_s2=0.0,
    )
    launch = TetherStart(
        places_m=np.array([[6.0 + stretched_m, 0.0], [0.0, 0.0]]),
        angles_rad=np.zeros(2),
        speeds_m_s=np.array([[0.75 * speed_m_s, 0.0], [-0.25 * speed_m_s, 0.0]]),
        rates_rad_s=np.zeros(2),
    )
    return scene, launch
