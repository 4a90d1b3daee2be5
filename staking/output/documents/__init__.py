"""Results as JSON documents and rows, in the job's unit, nothing rounded."""
