"""Walls in profile as they stand on the sheets: each at its own scale, in rows, black on white."""
