"""Trade: the nouns and numbers of the job that every other folder uses, from grams and money to plan and bags."""
