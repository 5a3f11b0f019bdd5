"""Searching finished texts for what others must not be told, whatever made them.

One surprising decision: nothing here comes from the room that strikes secrets out (`domain.discretion`), not
a pattern, not a list of words. Texts are taken apart into words and numbers by other means, and what they say
is compared with what must not be told; so what the striking misses is not missed here for the same reason.
"""
