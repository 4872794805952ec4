"""Practice that ends: how far a skill has come, and what to offer next. Pure: days are arguments."""
