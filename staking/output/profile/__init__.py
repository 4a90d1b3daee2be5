"""Walls seen from the side, with their levels and steps."""
