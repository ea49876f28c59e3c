"""Made frames with the truth known: scenes, faults in linear light, files as a camera would write them."""
