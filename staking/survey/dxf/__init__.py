"""Points, lines and faces out of an open drawing."""
