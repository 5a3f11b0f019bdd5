"""Room `store`: the book on disk. The only room that knows SQL; row classes never leave it."""
