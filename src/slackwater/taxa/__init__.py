"""Taxa: what a species is.

Facts by rank (family, genus, species), each with kind and source;
names, slips and look-alikes, and what a customer means by them.
"""
