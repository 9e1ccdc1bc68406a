"""Trade formulas: plain numbers in stated units in, plain numbers out; each with its source and range."""
