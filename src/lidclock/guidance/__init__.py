"""Published guidance as data: categories, rules, sources, ways of counting."""
