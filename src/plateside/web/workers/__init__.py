"""Child processes that do the computing, so that the server stays small and answers at once.

names.py   what a hand can be asked to do
child.py   the process itself: one request after another, progress and a stop in between
hand.py    the server's side of one child process
jobs.py    long work as the pages see it: begun, so far, done, stopped
"""
