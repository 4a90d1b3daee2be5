"""The order in tables, for the terminal, the page and its sheet."""
