"""What is shown: services' answers turned into the plain data that templates take."""
