"""What was taped, surveyed or poured, held against the layout."""
