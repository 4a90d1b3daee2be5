"""The plan drawing and the pictures made from it."""
