"""Levels on site: the rod, boards on a slope, cut and fill at stakes."""
