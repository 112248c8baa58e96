"""What to set: the choices of a plan and their chance to pass, and the bare solvers."""
