"""Drawings of light as SVG text and PNG bytes, from arrays and dataclasses; nothing here computes light.

year.year_calendar   the year, day by hour        day.day_curve       one day in stops
plan.plan_drawing    plan and section to scale    marks               what others may draw into it
civil                what a wall clock shows      contours, png, paper  what they are made with
"""
