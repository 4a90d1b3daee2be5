"""From the plan to the strips of ground that the footings cover and that are dug."""
