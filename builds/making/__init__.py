"""Pure: what a structure takes to make (blanks, parts, ties) and in which order it is made."""
