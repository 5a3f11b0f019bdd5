"""Plans: shots and whether they can be made, what became of them, and the kit packed for them."""
