"""One corner by itself, and the front wheels on their rack: curves, effects, forces; chassis frame."""
