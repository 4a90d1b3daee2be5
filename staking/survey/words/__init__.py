"""What a surveyed point is, by its name and its description."""
