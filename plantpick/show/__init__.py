"""The only code that draws an answer: for a terminal, as JSON and CSV, as a page, as a figure.

One file an answer; `terminal` has what every answer is drawn with, `records` how it becomes JSON and CSV, `figures` the
pictures. A name that an option has on the command line comes from `cli`, never from here.
"""
