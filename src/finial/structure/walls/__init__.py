"""Printed walls: section, buckling, collapse, torsion, bays under pressure."""
