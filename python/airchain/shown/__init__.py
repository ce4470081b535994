"""How results are shown: tables, columns, statuses in words, the style of pictures."""
