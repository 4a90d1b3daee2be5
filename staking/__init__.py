"""From a foundation plan to lines on the ground: strings, boards, paint, depth, order."""

__version__ = "0.1.0"
