"""The record of a match as documents: what was written, when, by whom."""
