"""What must be said of levels: cover, openings, rules of stepped walls."""
