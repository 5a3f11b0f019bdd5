"""Open formats: what leaves the book for other programs, and for the years after this one."""
