"""Room `craft`."""
