"""Plan files and the book: taking a plan in, again and again, and writing one out."""
