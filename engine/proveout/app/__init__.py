"""What is done with a case, from opening it to learning from it; no click, no terminal, no printing."""
