"""Reads the job file: YAML nodes, then fields, then the plan and its options."""
