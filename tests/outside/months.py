#!/usr/bin/env python3
"""Writes months.csv: days, so many months and days, and the day that python-dateutil's relativedelta gives.

    python3 -m venv v && v/bin/pip install python-dateutil==2.9.0.post0 && v/bin/python months.py > months.csv
"""

import datetime

import dateutil
from dateutil.relativedelta import relativedelta

print(f"# made by months.py with python-dateutil {dateutil.__version__}; edit nothing by hand")
print("day,months,days,later")
ends = [datetime.date(year, month, 1) + relativedelta(day=31) for year in (2023, 2024) for month in range(1, 13)]
more = ["2024-01-29", "2024-01-30", "2023-01-29", "1999-12-31", "2000-02-29", "2096-02-29", "2099-11-30", "2100-02-28", "1900-02-28", "2026-03-02"]
for day in ends + [datetime.date.fromisoformat(text) for text in more]:
    for months, days in [(0, 30), (1, 0), (2, 0), (6, 0), (11, 0), (12, 0), (13, 0), (24, 0), (48, 0), (-1, 0), (-12, 0), (1, 1), (1, -1), (6, 14)]:
        print(day, months, days, day + relativedelta(months=months, days=days), sep=",")
