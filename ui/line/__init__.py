"""The number line of the table: what every key means, and in which words. Pure: no Qt, no link, no clock."""
