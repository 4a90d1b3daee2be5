"""The order of work: what is done first, by whom, and with which tapes."""
