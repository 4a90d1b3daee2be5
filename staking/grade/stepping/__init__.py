"""Where the footing steps: cells, rules, and the cheapest profile, exactly."""
