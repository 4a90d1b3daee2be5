"""The conductor: what a job asks for, worked out in order; it computes nothing itself."""
