"""Drawings as pictures on paper: lines, fills and words in millimetres, as SVG, PNG and PDF."""
