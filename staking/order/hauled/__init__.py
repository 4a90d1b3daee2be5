"""What goes back into the trench, and what is carted away."""
