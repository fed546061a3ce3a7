"""Rule profiles and match formats as data, each value with its source."""
