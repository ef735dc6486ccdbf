"""Parts of the sheet as pieces on the printer's bed."""
