"""The record of a poured footing as a sheet."""
