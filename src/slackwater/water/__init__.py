"""What the water does: seawater, oxygen, ammonia and nitrogen over time, gas exchange and rations.

Numbers in, numbers out: each module is a set of published equations with units in the names,
and none of them knows a species or a tank.
"""
