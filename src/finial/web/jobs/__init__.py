"""Long jobs of the page: each in a process of its own, kept in a folder beside the sheet."""
