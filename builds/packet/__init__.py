"""The printed set of a design or a build: its pages, its options, and how it is answered."""
