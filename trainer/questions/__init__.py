"""Knowledge questions: asked with shuffled options, drawn from a drill's slips, checked. Pure."""
