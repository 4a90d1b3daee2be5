"""A lot by its deed: curves, closing, slips of the pen, found pins."""
