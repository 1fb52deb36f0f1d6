"""Everything that touches the world, and the model of a walk."""
