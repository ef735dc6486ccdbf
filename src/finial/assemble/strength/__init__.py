"""Load cases, walls, rods, joints and small things: what holds and what gives way first."""
