"""What answers say about items, papers and pass marks, and from how many answers on. Pure."""
