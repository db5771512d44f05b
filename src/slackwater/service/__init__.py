"""One function for each thing a person does.

A service function reads what is needed, calls the parts below, and returns a finished record.
The terminal and the web pages call the same functions and only show what comes back.
"""
