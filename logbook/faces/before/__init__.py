"""The return brief: what to know before going back to a place, for the terminal and as a page.

One surprising decision: nothing is imported here, because the command's help needs none of it.
"""
