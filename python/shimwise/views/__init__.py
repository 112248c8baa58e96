"""How results look: text at 80 columns."""
