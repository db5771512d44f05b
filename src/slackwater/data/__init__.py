"""The tables that ship with the program: facts, traits, names, rules and sources."""
