"""The book as a whole: backups, merging, undo, checks, taking an export in."""
