"""The sections of a journal: each a class of what it can be asked about one thing; `Journal` is all of them."""
