"""Points in open formats, for instruments and drawing programs."""
