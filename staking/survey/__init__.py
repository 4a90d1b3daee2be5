"""Survey files of open formats, each turned into surveyed points."""
