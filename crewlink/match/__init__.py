"""The pure match engine: commands in, rulings and facts out, facts folded into a match."""
