"""Laser point clouds in LAS and LAZ: the ground of them, in a window."""
