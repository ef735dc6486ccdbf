"""The start from meshes alone: pieces arranged, and what their shape shows and proposes."""
