"""Text to lengths, areas, angles and bearings, and back."""
