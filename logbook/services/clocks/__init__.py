"""Clocks of cameras: what was said of them, what is known of them, and the instants that follow."""
