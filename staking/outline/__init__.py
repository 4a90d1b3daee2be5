"""The outline of a building out of a designer's drawing: unit, tracing, sizes read off."""
