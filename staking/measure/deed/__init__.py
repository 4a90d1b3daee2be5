"""The words of a deed: bearings with their distances, curves, whole descriptions."""
