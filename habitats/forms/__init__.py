"""Forms, one module a noun. They turn what a person types into what the models hold."""
