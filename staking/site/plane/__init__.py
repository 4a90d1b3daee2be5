"""The lot's plane of ground distances, and how survey coordinates come onto it."""
