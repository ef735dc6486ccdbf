"""Words, tables, pictures and PDFs from records."""
