"""Room `domain`."""
