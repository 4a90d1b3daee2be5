"""The drawings of the sheets, each to its own scale, in millimetres on paper."""
