"""A car over weeks: two sheets compared, a state accepted, its history, and the car put back."""
