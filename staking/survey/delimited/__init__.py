"""Points from delimited text of any separator, column order and heading."""
