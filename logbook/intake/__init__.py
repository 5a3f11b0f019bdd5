"""Room `intake`."""
