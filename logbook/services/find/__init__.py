"""Finding: one question to everything written down and everything read from pictures."""
