"""What one trainee does to learn: exercises, hints, lessons, jobs, questions."""
