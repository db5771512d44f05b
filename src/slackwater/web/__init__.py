"""The web pages: read a request, call one service function, show what it returns.

The only package that knows the web framework. The pages wait for the store; the package
holds their place in the layers.
"""
