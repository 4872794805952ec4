"""Pages for those who are not signed in, and the account page of those who are."""
