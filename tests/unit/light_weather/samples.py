"""Invented weather files, written by the layouts' own documents (named in the parsers), for tests only."""

import math

EPW_HEAD = [
    "LOCATION,Invented Bay,-,XXX,INVENTED,000000,38.72,-9.14,{offset},77.0",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    "COMMENTS 1,invented numbers",
    "COMMENTS 2,none",
    "DATA PERIODS,1,{per_hour},Data,Sunday,1/1,12/31",
]
DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def radiation(day_of_year: int, hour: int) -> tuple[float, float, float]:
    """Invented direct normal, diffuse and global horizontal [W/m2] of the hour that ends at `hour`."""
    rise = max(0.0, math.sin(math.pi * (hour - 6.5) / 12)) if 6 < hour < 19 else 0.0
    direct = round(700 * rise, 1)
    diffuse = round(100 * rise + day_of_year % 7, 1)
    return direct, diffuse, round(diffuse + direct * rise * 0.8, 1)


def hours() -> list[tuple[int, int, int, int]]:
    """(month, day, hour 1-24, day of the year) of a common year."""
    rows = []
    running = 0
    for month, days in enumerate(DAYS, start=1):
        for day in range(1, days + 1):
            rows += [(month, day, hour, running) for hour in range(1, 25)]
            running += 1
    return rows


def epw_text(offset: float = 0.0, per_hour: int = 1) -> str:
    lines = [line.format(offset=offset, per_hour=per_hour) for line in EPW_HEAD]
    for month, day, hour, running in hours():
        direct, diffuse, whole = radiation(running, hour)
        cells = ["1999", str(month), str(day), str(hour), "60", "?9", "15.0", "9.5", "70", "101000", "500"]
        cells += ["1400", "330", str(whole), str(direct), str(diffuse), "1", "2", "3", "4", "180", "3.0", "4"]
        cells += ["4", "20.0", "77777", "9", "999999999", "89", "0.1", "0", "88", "0.2", "0", "0"]
        lines.append(",".join(cells))
    return "\n".join(lines) + "\n"


def tmy3_text() -> str:
    lines = [
        '999999,"INVENTED BAY",XX,-8.0,34.850,-116.800,586',
        "Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),ETRN (W/m^2),GHI (W/m^2),GHI source,DNI (W/m^2),"
        "DHI (W/m^2),TotCld (tenths),Dew-point (C)",
    ]
    for month, day, hour, running in hours():
        direct, diffuse, whole = radiation(running, hour)
        lines.append(f"{month:02d}/{day:02d}/1988,{hour:02d}:00,1,2,{whole},1,{direct},{diffuse},3,-2.5")
    return "\n".join(lines) + "\n"
