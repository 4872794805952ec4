"""What people do here. A service takes a session, plain values and the time; it never commits.

A thing that is not the asker's is not found: fetching is the permission check.
"""
