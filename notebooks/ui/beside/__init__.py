"""The part "Side by side": packs of a shelf compared, ranked by the visitor's weights, and put on paper."""
