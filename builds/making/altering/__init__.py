"""From what stands to what is wanted: how the drawing is laid, what serves again, in which order.

alteration = alter(standing, target)      # two structures; the laying with the least work
steps = alteration_steps(alteration)      # steps as of a new build, some of which take off
"""
