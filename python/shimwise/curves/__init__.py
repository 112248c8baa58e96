"""What is asked of a corner over its travels, as labelled arrays."""
