"""The cards of the sheets: what is carried to one corner, line or row of pads."""
