"""Files of kinds that are not read, told by their content, with what to do instead."""
