"""What is said on set: the verdict on a frame, what was pressed, what landed, the scene's layers.

acts        the one thing to change, from an act's codes and numbers
verdicts    what a verdict rests on, lines of judged frames, what was measured
presses     what was just decided, and what was taken back
events      what the watcher says as it happens
screen      the Set page's own lines: cautions, bursts, where the shoot stands
layers      the steps of a scene, and what each measures
cards       the grey card and the set card
refusals    what cannot be done on set, with the fix
"""
