"""Powder charges: pressure in a bay, in closed form and in time, vents, ports and ground tests."""
