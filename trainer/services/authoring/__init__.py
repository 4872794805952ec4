"""Own items of this installation: drafts, their approval, the folder they come to stand in."""
