"""Keepers: taken in from files, named, noted, moved, put into sets, and what can be worked out about them."""
