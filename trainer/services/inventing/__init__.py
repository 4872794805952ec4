"""The demo: an invented shop, made through the same services as a real one."""
