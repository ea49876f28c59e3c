"""What measured light teaches about a studio.

iso12232  the camera as a meter: from a frame of a grey card to lux
bearing   a window's true bearing from the sun
fit       factors on the model from three or more readings, with their spread
"""
