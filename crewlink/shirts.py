"""The shirt colours that a team can be given: what people say, and what a small square shows."""

SHIRTS = (
    ("not known", ""),
    ("white", "#FFFFFF"),
    ("black", "#111111"),
    ("grey", "#8A8F94"),
    ("red", "#C8202F"),
    ("orange", "#E8730C"),
    ("yellow", "#F2C200"),
    ("green", "#1F8A3B"),
    ("light blue", "#6FB7E9"),
    ("blue", "#1F4FA8"),
    ("purple", "#6B3FA0"),
    ("pink", "#E486B4"),
)
"""Shirt colours by the word that people say."""
