"""The lines of the lists to tick off, with the job's own numbers."""
