"""What was read of a car, what follows from it, and what would be read next."""
