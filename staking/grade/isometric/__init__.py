"""The stepped footing as solids, and what is seen of them from one side."""
