"""Officiating: rules, match, crew, record, site. Knows nothing of sockets or of the screen toolkit."""

__version__ = "0.1.0"
