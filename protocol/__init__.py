"""The crew link: identity, entries, sync, the pen, pairing and discovery. Knows nothing of volleyball."""
