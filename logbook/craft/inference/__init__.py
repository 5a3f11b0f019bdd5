"""What the frames of a day tell by themselves: sets, filters seen as jumps in exposure, tries.

One surprising decision: silence is an answer. Everything here is a proposal with its reason, and where the
evidence is thin nothing is proposed at all.
"""
