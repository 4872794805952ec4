"""What an employer sees of everybody: who stands how, what was noted, what is kept and erased."""
