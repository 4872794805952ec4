"""What is asked: forms and their fields, read with a sentence at each that cannot be taken."""
