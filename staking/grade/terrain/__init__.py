"""The ground: surfaces of survey points, readings, and volumes under them."""
