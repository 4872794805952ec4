"""The room of records that an employer can trust: signing, exporting and verifying them.

Pure: no web, no store, no clock and no chance. The day, the time of signing and the key are arguments.
"""
