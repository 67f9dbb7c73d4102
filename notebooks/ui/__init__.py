"""The app's views, and the state they share. `reader` does the reading; nothing here knows about food."""
