"""The shop's own side: arrivals into holding cubes, and arrivals matched to customers' plans.

It answers which cube an arrival goes to without making a bully, and whom to ring about it.
Both wait for the store; the package holds their place in the layers.
"""
