"""Who comes in and what they may do: accounts, signing in, join codes, entitlements."""
