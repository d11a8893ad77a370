"""Reads a calendar on standard input with icalendar and writes what it understood, as JSON."""

import json
import sys

import icalendar

calendar = icalendar.Calendar.from_ical(sys.stdin.buffer.read())
events = [
    {
        "uid": str(event["UID"]),
        "day": event["DTSTART"].dt.isoformat(),
        "stamp": event["DTSTAMP"].dt.isoformat(),
        "summary": str(event["SUMMARY"]),
        "description": str(event.get("DESCRIPTION", "")),
        "alarms": [str(alarm["TRIGGER"].dt) for alarm in event.walk("VALARM")],
        "faults": [str(fault) for fault in event.errors],
    }
    for event in calendar.walk("VEVENT")
]
faults = [str(fault) for fault in calendar.errors]
missing = [name for name in ("PRODID", "VERSION") if name not in calendar]
json.dump({"events": events, "faults": faults + missing}, sys.stdout)
