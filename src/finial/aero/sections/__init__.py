"""Cross-sections of any outline: added mass, cross-flow drag, symmetry."""
