"""The drain beside the footing: where it runs, how it falls, and what it takes."""
