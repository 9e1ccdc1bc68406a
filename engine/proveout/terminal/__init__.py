"""What a person at a terminal sees and is asked: options, printing, paging, progress, questions."""
