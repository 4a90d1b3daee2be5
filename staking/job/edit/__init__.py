"""Changes to a job file's text that leave every other character as it stands."""
