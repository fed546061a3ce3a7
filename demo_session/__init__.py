"""A rehearsal: an invented event, invented crews and match scripts that drive real stations."""
