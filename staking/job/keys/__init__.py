"""Which keys the job file has, what each takes, and what such values commonly are."""
