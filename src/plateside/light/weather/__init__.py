"""The sky from weather: a typical year's file, or a forecast's cloud column that the user pastes.

Text in, arrays out; whoever calls has read the file.

epw     a year of hours from an EPW file (EnergyPlus, Auxiliary Programs: "EnergyPlus Weather File (EPW)
        Data Dictionary")
tmy3    a year of hours from a TMY3 file (Wilcox and Marion, Users Manual for TMY3 Data Sets, NREL/TP-581-43156)
hours   what both give: hourly irradiances in local standard time, and what they are at any moment
cloud   a pasted forecast: time and cloud cover in percent
skies   the sky at given moments from either, for the light engine
kasten1980  irradiances from cloud cover (Kasten and Czeplak, Solar Energy 24, 1980)
"""
