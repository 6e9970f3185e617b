"""Why each digit is forced: looks, steps, the least effort path, and its words."""
