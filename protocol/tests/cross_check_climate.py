#!/usr/bin/env python3
"""Compares classes with climaclass (Peel 2007). Reads rows of class, hemisphere of the warm half, twelve
temperatures and twelve rains from standard input, tab-separated; fails on the first class that differs.

Where summer and winter are both dry, that library goes by the wettest month and our rule by the wetter half:
those rows are counted and left out.
"""
import sys

from climaclass import koppen
from climaclass._types import MonthlyClimate


def both_dry(rain, warm):
    summer, winter = (rain[3:9], rain[:3] + rain[9:]) if warm == "north" else (rain[:3] + rain[9:], rain[3:9])
    dry_summer = min(summer) < 40 and min(summer) < max(winter) / 3
    return dry_summer and min(winter) < max(summer) / 10


def main():
    agreed, left_out, classes = 0, 0, set()
    for row in sys.stdin:
        ours, warm, temperature, rain = row.rstrip("\n").split("\t")
        temperature = [float(t) for t in temperature.split()]
        rain = [float(r) for r in rain.split()]
        theirs = koppen.classify(MonthlyClimate(temp=temperature, precip=rain, latitude=30.0 if warm == "north" else -30.0)).code
        if theirs != ours:
            if both_dry(rain, warm):
                left_out += 1
                continue
            raise SystemExit(f"{ours} here, {theirs} there: {temperature} {rain}")
        agreed += 1
        classes.add(ours)
    print(f"climaclass: {agreed} climates of {len(classes)} classes agree, {left_out} left out")
    assert agreed > 0


main()
