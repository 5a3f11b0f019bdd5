"""Plants secrets in every free text of a trip, builds all that others get, and looks for what survived.

    python -m tests.trials.planting --forms 200 --seed 1

The generator knows what it planted: each piece stands between two marks of its own, and what must not be
left between them is told by whoever made it. Nothing of the striking and nothing of the search for leaks is
used to look, only the planted words themselves.
"""
