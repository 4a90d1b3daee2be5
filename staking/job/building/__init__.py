"""The building section read whole: outlines, walls, interior lines, pads and openings."""
