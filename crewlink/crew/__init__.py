"""The crew: posts, permissions, notices, the ready chain. Pure reduction of free entries."""
