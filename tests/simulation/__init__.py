"""The shipped phone core against the shipped server, one seed = one world."""
