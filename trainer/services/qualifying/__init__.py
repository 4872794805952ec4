"""The ledger of a house, and what it comes to: entries, countersignatures, standing, the written practice."""
