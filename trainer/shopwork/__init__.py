"""Work on a real part: which documented case applies, what its drill gives, and whether the pack can do it.

Over drills, as the jobs are: every number comes from a drill of the bank, every condition from a content file.
"""
