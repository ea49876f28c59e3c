"""What is said of a delivery: of deliver's facts (deliver/points.py, deliver/facts.py).

points      what is left to fix or worth a remark, and the line or command that fixes it
crops       what a crop could not give
report      the delivery, its headline, what to know before you pack
checks      packages, and what checking one found
papers      READ-ME and the words to paste
refusals    what cannot be made, packed or checked, and what to do instead
"""
