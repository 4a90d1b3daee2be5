"""The layout as one value: everything worked out of a job, its mark, and what changed in it."""
