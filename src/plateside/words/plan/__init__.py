"""What Plateside says of a plan, a set-up and what goes with them.

set_up      a set-up: its headline, its facts by name, its lines
findings    what its place, its light and its crops come to, and every wish that is not met
ways        the ways out
remedies    more light, each with its price
rig         the support's statics
day         hours, plates, notes of the day
holding     how long food may stay out, by country
sheet       labels of the call sheet and the shot sheet
picture     planned pictures
set_card    the printed set card, and what one frame of it says
refusals    what cannot be done
"""
