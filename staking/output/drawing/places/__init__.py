"""Where words go on a drawing, and what each place spoils of what is there."""
