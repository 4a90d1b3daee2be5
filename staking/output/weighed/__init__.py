"""What was weighed, written out: document, sheet of rows, table and picture."""
