"""Day files: written for a person, read into the book, read again, taken back."""
