"""The last lines of every command: what is broken, what comes first, what matters, the files."""
