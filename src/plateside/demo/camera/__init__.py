"""The simulated camera: what stands before it, how it is moved and set, the frame it takes."""
