"""The make-up of a product: shares of groups and ingredients, and what decides them."""
