"""Linear rows over unknown amounts: what they leave possible, what contradicts, what is likely. Knows no food."""
