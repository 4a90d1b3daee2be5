"""Points, lines and surfaces out of LandXML 1.0 to 2.0."""
