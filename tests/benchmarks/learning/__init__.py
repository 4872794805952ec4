"""Does the practice rule save answers? Simulated learners of three published models. Simulated people are not people."""
