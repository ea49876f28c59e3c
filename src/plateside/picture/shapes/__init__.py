"""Stand-in dishes and props as triangle meshes, from our own parameters.

    mesh.py      Mesh, Thing and the ways to make one: turned on a lathe, blown up, drawn along a path, cut from a sheet
    texture.py   grain, weave, stone, crust: colours and heights as pictures
    material.py  what a thing is made of
    dishes.py    the stand-ins by name: in_bowls.py, cakes.py, bread.py, fresh.py
    ware.py, garnish.py  what food stands in, and what is strewn on it
    props.py     plates, bowls, glasses, spoons, linen
    set_table.py where they stand

Coordinates of a thing: x to the right and y away from the camera, z up from the table, metres, the dish in the middle.
"""
