"""The drawing board: everything that is drawn for commands, pages and paper, as SVG text; nothing computes light here.

palette      every colour, once                    kit             escaped elements, words, the document
labels       words that do not touch               board           metres to pixels, tapes that are true
room         plan and section to a ruler's scale   setup_above, setup_side   a set-up for the tape
day          one day's light in stops              shoot_day       the day of the shoot in lanes
year         the year, day by hour                 figures, marks, measures, openings, views   what a room is made of
"""
