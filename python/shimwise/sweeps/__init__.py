"""Many states of a car at once: over settings, points, travels and pads, as labelled arrays."""
