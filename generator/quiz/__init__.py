"""Questions, drawn variants, named mistakes, marking, and the quiz as markup and on paper."""
