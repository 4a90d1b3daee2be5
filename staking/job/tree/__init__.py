"""The job file's text as a tree: where everything stands, its sections, and its faults."""
