"""What is said of the light: of light's facts (model/light_facts.py, light/meter/facts.py).

    phrases     parts of sentences: skies, needs, exposures, sides, the compass
    skies       the skies' names, without numbers to load
    moment      one moment, changes of the set side by side, how long the light lasts
    day         one day: the headline, its lead, a line a fact
    calendar    seven days, a year
    left        the light on set: what the camera reads, what is predicted
    meter       readings, grey card, fit, bearing, a sky file that was kept
    refusals    what cannot be asked, and what to write instead

A figure in lux says where it is meant: 'on the table' is level light, as a meter reads it that lies there; 'facing the
camera' is light on the side of the dish that the camera sees.
"""
