"""Turns results into tables, drawings and files; computes nothing."""
