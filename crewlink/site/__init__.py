"""The supervisor's side: what is known of all courts of a hall, put together. Pure."""
