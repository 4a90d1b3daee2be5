"""Grade: the ground, stepped footings, rods and neighbours."""
