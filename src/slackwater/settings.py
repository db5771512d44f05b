"""What the surroundings decide: environment variables and the settings file, read once.

Nothing is configurable yet; the module holds its place in the layers, so that no part below
ever reads the environment by itself.
"""
