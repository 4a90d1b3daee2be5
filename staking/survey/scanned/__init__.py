"""Scanned ground of any format: its system, its window, and heights in rows and columns."""
