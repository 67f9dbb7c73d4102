"""The grammar of ingredient statements: text → tokens → items in a tree. It knows print, not food."""
