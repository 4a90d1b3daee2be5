"""One command a module, loaded when it is called."""
