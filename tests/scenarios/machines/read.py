"""Reads a calendar file with the general-purpose library icalendar and says what it found, a line an event."""

import sys

import icalendar

data = sys.stdin.buffer.read()
lines = data.split(b"\r\n")
assert lines.pop() == b"", "the file ends with a line end"
assert all(len(line) <= 75 for line in lines), "a line is longer than 75 octets"
assert not any(b"\n" in line or b"\r" in line for line in lines), "a line ends otherwise than with CRLF"
calendar = icalendar.Calendar.from_ical(data)
assert calendar["VERSION"] == "2.0" and calendar["PRODID"]
events = calendar.walk("VEVENT")
assert len(events) == len(calendar.subcomponents) > 0
assert not calendar.errors and not any(event.errors for event in events)
assert len({event["UID"] for event in events}) == len(events)
for event in events:
    stamp = event["DTSTAMP"].dt
    print(
        event["UID"],
        event["SEQUENCE"],
        stamp.strftime("%Y-%m-%dT%H:%M:%S%z"),
        event["DTSTART"].dt.isoformat(),
        event.duration,
        event["SUMMARY"],
        event["DESCRIPTION"].replace("\n", " / "),
        sep="|",
    )
