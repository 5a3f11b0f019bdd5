"""The book as private pages on this machine: `logbook open`.

One surprising decision: nothing here decides what an answer means or what a record holds; pages are forms
over the services that the command line uses, so that both leave the same book.
"""
