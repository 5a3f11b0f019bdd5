"""The night: what is proposed for a day, which questions follow from it, and what each answer does.

One surprising decision: the proposals of a day are worked out once, after its clocks are settled, and kept in
the book, so that stopping and resuming can never ask something else.
"""
