"""Reinforcing bars: where they run, how they lap, and how they are cut."""
