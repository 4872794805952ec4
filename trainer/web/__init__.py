"""The pages: read a form, call a service inside one transaction, show the result."""
