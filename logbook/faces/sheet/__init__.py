"""The field sheet: one day of a trip on a page that prints, for the photographer's own pocket.

One surprising decision: nothing is imported here, because the command's help needs only the names of papers.
"""
