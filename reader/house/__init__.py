"""A house specification: what a buyer asks of a product, what each label comes to, and what is left to ask."""
