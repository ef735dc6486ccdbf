"""One of everything on a worn 9 V block: for examples and tests."""

from finial.core.estimates import exact
from finial.electronics.rates import rates_of
from finial.electronics.wiring import (
    Battery,
    Canopy,
    Charge,
    Computer,
    Igniter,
    Moment,
    Switch,
    Trigger,
    Wiring,
)


def one_of_everything() -> Wiring:
    """Return a battery of 9 V and 2 ohm, a screw switch, a computer, an igniter, a charge and a canopy.

    Returns
    -------
    wiring : Wiring
        Voltages [V], resistances [ohm] and currents [A] without width.

    Notes
    -----
    Invented.

    References
    ----------
    .. [1] Invented.

    Examples
    --------
    >>> one_of_everything().battery("battery").voltage_v.value
    9.0
    """
    top = Moment(trigger=Trigger.APOGEE)
    return Wiring(
        batteries=(
            Battery(name="battery", voltage_v=exact(9.0), internal_ohm=exact(2.0), capacity_a_h=exact(0.5)),
        ),
        switches=(Switch(name="switch", resistance_ohm=exact(0.0), rates=rates_of("screw switch")),),
        computers=(
            Computer(
                name="computer",
                battery="battery",
                arming=(("switch",),),
                pad_current_a=exact(0.02),
                least_v=exact(5.0),
            ),
        ),
        igniters=(
            Igniter(
                name="igniter",
                charge="charge",
                computer="computer",
                event=top,
                resistance_ohm=exact(1.5),
                wiring_ohm=exact(0.3),
                all_fire_a=1.0,
                no_fire_a=0.3,
            ),
        ),
        charges=(Charge(name="charge", bay="bay"),),
        canopies=(Canopy(name="main", bay="bay", event=top),),
    )
