"""Several-part jobs: steps that follow from each other, drawn together, marked with follow-through.

Every step is a drill's find, cast, worked and judged by the drills' own engine.
"""
