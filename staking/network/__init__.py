"""Networks of taped distances: which to tape, and how good they make each corner."""
