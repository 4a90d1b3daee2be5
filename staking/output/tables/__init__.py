"""Results as tables and lists, for terminal, sheet and page alike."""
