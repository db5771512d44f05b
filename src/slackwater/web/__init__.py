"""The pages: parse what was sent, call one service function, show what came of it.

The only package that knows FastAPI, Jinja2 and uvicorn; they are imported when a server is made.
"""
