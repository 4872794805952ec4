"""Serving the pages: the server, its port, and the addresses under which others find it."""
