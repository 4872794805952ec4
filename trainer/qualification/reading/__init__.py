"""Reading and writing histories: text in, frozen entries out, every fault a sentence with its line."""
