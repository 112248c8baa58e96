"""The points of a drawing: tables of them, a starter car from them, errors in them, and where they should be."""
