"""What a drawing is made of, as values: written to DXF, and turned into pictures, from here."""
