"""Words of a label → entries of the lexicon, with the reason for each choice."""
