"""Forms, one module a noun. They turn what a person types into shapes and steps of drawing."""
