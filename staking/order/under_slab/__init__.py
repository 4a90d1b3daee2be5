"""What is filled under a slab, and inside the walls beside the footings."""
