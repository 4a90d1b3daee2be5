"""What taped distances say of the stakes: what does not fit, what to move, whether it is square."""
