"""How high the wall is set and where the building stands: whole jobs laid side by side."""
