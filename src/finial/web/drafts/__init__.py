"""Files that are drawn on the page before there is a sheet: a tower's storeys, the marks of photos."""
