"""The part "A supplier list": files in, a house specification by form, the run, the shortlist, letters, files out."""
