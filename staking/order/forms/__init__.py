"""The forms of footings that are not cast against earth."""
