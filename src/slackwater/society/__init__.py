"""Society: who meets whom, who attacks, who eats whom, and how each animal fares.

`judge` puts a `Situation` (a tank, its rock, its animals, what is done to it) to the model and
returns a `Judgement`; `explain` takes one attack rate of it apart, factor by factor.
"""
