"""How numbers and things are said to a person, once for commands, pages and paper. Pure: values in, words out."""
