"""What can be proved: the ledger against the chain, signed records that leave the house and come in, keys and issuers."""
