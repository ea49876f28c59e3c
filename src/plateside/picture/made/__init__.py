"""The made camera: frames from a scene in linear light, with the truth known of each.

scene.py    LinearScene; scenes from a photograph; cards, layers and a poured stream
take.py     Take (one press of the shutter) and Truth
series.py   bracket, burst, focus stack, clouds passing
optics.py   depth-dependent defocus, shake, motion, tilt, distortion, vignetting
sensor.py   photons, read noise, Bayer mosaic, levels, colour matrix
develop.py  the camera's own JPEG
frame.py    make_frame
"""
