"""Plan: order, dates, stages and reasons. The only optimiser.

A plan is the best order of releases for the worst-off animal, then for the sum; dated, judged at
every stage, and explained. "No order is bearable" is an answer: it names who clashes and what
would settle it.
"""
