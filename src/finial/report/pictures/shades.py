"""Seven shades from dark to light, for what runs from little to much: lightness alone tells the order."""

from typing import Final

BANDS: Final = ("#101748", "#213a71", "#3e5987", "#6e758c", "#a59473", "#e1b656", "#ffe696")
"""As ``--cp-0`` to ``--cp-6`` of the page in its light colours."""
