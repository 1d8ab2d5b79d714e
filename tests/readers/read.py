"""Reads what fulmar hands on with readers that are not ours, and prints what they found as JSON.

Arguments: kind and file, in turn; an edit decision list with its rate as `edl:30000/1001`.
"""

import json
import sys
from fractions import Fraction

import opentimelineio as otio
import srt
import webvtt


def frames(time):
    """A whole number of frames, or what was read if it is none."""
    return int(time.value) if time.value == int(time.value) else time.value


def clips_of(track):
    found = []
    for clip in track.find_clips():
        place = clip.range_in_parent()
        media = clip.media_reference
        found.append({
            "name": clip.name,
            "from": frames(place.start_time),
            "count": frames(place.duration),
            "source": frames(clip.source_range.start_time),
            "rate": place.start_time.rate,
            "about": dict(clip.metadata.get("fulmar", {})),
            "reel": clip.metadata.get("cmx_3600", {}).get("reel"),
            "media": type(media).__name__,
            "url": getattr(media, "target_url", None),
        })
    return found


def timeline(read):
    return {
        "name": read.name,
        "length": frames(read.duration()),
        "start": frames(read.global_start_time) if read.global_start_time else None,
        "tracks": [
            {
                "name": track.name,
                "kind": track.kind,
                "length": frames(track.duration()),
                "clips": clips_of(track),
            }
            for track in read.tracks
        ],
        "marks": [
            {
                "name": mark.name,
                "kind": mark.metadata["fulmar"]["kind"],
                "from": frames(mark.marked_range.start_time),
                "count": frames(mark.marked_range.duration),
            }
            for mark in read.tracks.markers
        ] if "fulmar" in read.metadata else [],
        "again": otio.adapters.otio_json.read_from_string(
            otio.adapters.otio_json.write_to_string(read)
        ).is_equivalent_to(read),
    }


def web_vtt(path):
    def millis(cue_time):
        hours, minutes, seconds = cue_time.split(":")
        return round(((int(hours) * 60 + int(minutes)) * 60 + Fraction(seconds)) * 1000)

    return [
        {"from": millis(cue.start), "to": millis(cue.end), "lines": cue.text.split("\n")}
        for cue in webvtt.read(path)
    ]


def sub_rip(path):
    with open(path, encoding="utf-8", newline="") as file:
        text = file.read().replace("\r\n", "\n")
    return [
        {
            "from": round(cue.start.total_seconds() * 1000),
            "to": round(cue.end.total_seconds() * 1000),
            "lines": cue.content.split("\n"),
        }
        for cue in srt.parse(text, ignore_errors=False)
    ]


def read(kind, path):
    if kind == "otio":
        return timeline(otio.adapters.read_from_file(path))
    if kind.startswith("edl:"):
        rate = float(Fraction(kind.removeprefix("edl:")))
        return timeline(otio.adapters.read_from_file(path, rate=rate))
    return {"vtt": web_vtt, "srt": sub_rip}[kind](path)


words = sys.argv[1:]
print(json.dumps([read(kind, path) for kind, path in zip(words[::2], words[1::2])]))
