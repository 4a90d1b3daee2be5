"""The sheets for the clipboard."""
