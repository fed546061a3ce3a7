"""From a court and its link to what a face may know: one module a region, joined in `picture`."""
