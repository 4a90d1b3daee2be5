"""Points and lines out of GeoJSON, with or without a grid."""
