"""The order: concrete, steel, block, dig and what a layout is set out with."""
