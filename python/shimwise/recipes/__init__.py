"""How one value is moved alone: of a corner by itself, or of the whole car at rest."""
