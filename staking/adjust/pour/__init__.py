"""The poured footing against the plan: its edges, what each may be off by, how far it is off."""
