"""How an enclosure gets made: blanks, parts, cuts, order of work, pictures and packets."""
