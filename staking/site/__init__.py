"""The building on its lot: placement, clearances and staking out."""
