"""Sun, sky, window, room, dish: the light on a table spot, at a moment, through a day and a year.

What to call
    moment.light_at      one spot at one moment
    day.day_light        one civil day
    year.year_light      one year
    good_hours           good hours, light left, the best of several
    what_if.what_ifs     usual changes side by side
    boards.standing      a placed board, standing in the room

How it is made, in the order of the light
    sun, spa_module                    where the sun is
    sky, sky_tables, perez, ineichen2008, sky_light, sky_nodes   what the sky gives
    glass, rays                        through the window
    scene, window_outside              the physical scene, in words and as arrays
    patches, form_factors, importance  the room in interreflection
    lattice, daylight, sunbeam         light from outside on patches and sensors
    transport, evaluate                all put together, kept, and asked
    modelling, sun_patch, colour       what it does to a dish
    answers                            what comes out
"""
