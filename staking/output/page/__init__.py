"""The page for the phone: one file that works without a network."""
