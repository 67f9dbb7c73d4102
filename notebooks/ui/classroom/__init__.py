"""The part "A class": a teacher opens a shelf, students join it with a code, add packs, guess, and read."""
