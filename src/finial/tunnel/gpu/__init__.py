"""The tunnel on graphics cards; loaded only where there is one."""
