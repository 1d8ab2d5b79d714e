//! What two plans differ in themselves: the small tour edited in one way at a time.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on should stop"
)]

mod compared;

use compared::{TOUR, between, compile, edited, lines};
use compiler::compare::{Detail, Difference, How};
use earth::DegreesTrue;

/// The comparison as it must be the other way round.
fn mirrored(differences: &[Difference]) -> Vec<String> {
    let turned = differences.iter().map(|one| {
        let mut one = one.clone();
        one.how = match (one.how, &one.name) {
            (How::Added, _) => How::Gone,
            (How::Gone, _) => How::Added,
            (How::Changed, _) => How::Changed,
            (How::Renamed { from }, name) => {
                let old = name.clone();
                one.name = from;
                How::Renamed { from: old }
            }
        };
        for detail in &mut one.details {
            match detail {
                Detail::Value { old, new, .. } => std::mem::swap(old, new),
                Detail::Moved { towards, .. } => *towards = DegreesTrue::of(towards.get() + 180.0),
                Detail::Corners { .. } | Detail::With(_) => {}
            }
        }
        one
    });
    sorted(&turned.collect::<Vec<_>>())
}

/// In any order: what is gone is told last, and seen from the other side that is something else.
fn sorted(differences: &[Difference]) -> Vec<String> {
    let mut all = lines(differences);
    // Legs are numbered as in the newer plan.
    for line in &mut all {
        if line.starts_with("Route ") {
            line.retain(|letter| !letter.is_ascii_digit());
        }
    }
    all.sort();
    all
}

/// A name, texts with what stands in their place, and what is told of it.
type Case = (&'static str, &'static [(&'static str, &'static str)], &'static [&'static str]);

/// Every way to change the tour.
const CASES: &[Case] = &[
    ("revision", &[("revision: 7", "revision: 8")], &["Identity : revision 7 > 8"]),
    (
        "approval",
        &[("status: draft", "status: {approved by: Ann Ogg, \n  on: 2026-05-01, plan: CODE}")],
        &["Identity : approval draft > approved by Ann Ogg on 2026-05-01"],
    ),
    ("title", &[("tour: Out and back", "tour: There")], &["Identity : tour Out and back > There"]),
    ("language", &[("language: en", "language: da")], &["Identity : language en > da"]),
    (
        "wind",
        &[("wind: {from: 240, speed: 12 kt}", "wind: {from: 230, speed: 10 kt}")],
        &["Route : wind 240/12 kt > 230/10 kt"],
    ),
    (
        "a leg's altitude",
        &[("- to: HEAD", "- {to: HEAD, altitude: 1000 ft}")],
        &["Route 1 to HEAD: altitude 243.8m > 304.8m"],
    ),
    (
        "every leg's speed",
        &[("airspeed: 90 kt", "airspeed: 80 kt")],
        &["Route 1 to HEAD, 2 orbit of STACK, 3 to FAR, 4 hover at FAR, 5 to land at PAD: \
            airspeed 46.30m/s > 41.16m/s"],
    ),
    (
        "an orbit",
        &[("radius: 600 m, turn: right, turns: 1}", "radius: 700 m, turn: left, turns: 2}")],
        &["Route 2 orbit of STACK: radius 600.0m > 700.0m; turn to the right > to the left; \
            how far round 360.0deg > 720.0deg"],
    ),
    (
        "a hover",
        &[("for: 30 s}", "for: 40 s, facing: 270}")],
        &["Route 4 hover at FAR: lasts 30s > 40s; facing - > 270.0deg"],
    ),
    (
        "a leg more",
        &[("    - land: PAD", "    - to: ARCH\n    - land: PAD")],
        &["Route 5 to ARCH added: altitude - > 243.8m; airspeed - > 46.30m/s"],
    ),
    (
        "a sight moved, and the zone round it",
        &[("61.28 N, 7.03 W", "61.2827 N, 7.03 W")],
        &["Place ARCH: position moved 301m 000; with arch"],
    ),
    (
        "a waypoint moved",
        &[("61.36 N, 7.00 W", "61.36 N, 7.01 W")],
        &["Place FAR: position moved 535m 270"],
    ),
    (
        "a sight's title and elevation",
        &[("elevation: 40 m, name: The Arch", "elevation: 50 m, name: Old Arch")],
        &["Place ARCH: title The Arch > Old Arch; elevation 40.0m > 50.0m"],
    ),
    (
        "a sight more",
        &[("  STACK: ", "  REEF: {at: \"61.3 N, 7.2 W\"}\n  STACK: ")],
        &["Place REEF added: kind - > sight; position - > 61.3000 N 7.2000 W"],
    ),
    ("a sight with another name", &[("ARCH", "HOLE")], &["Place HOLE was ARCH: "]),
    (
        "a circle",
        &[("radius: 1.5 NM}, band: below 1500 ft}", "radius: 1.2 NM}, margin: 80 m}")],
        &["Zone arch: radius 2778.0m > 2222.4m; altitude band below 1500 ft > -; \
            exit margin 50.0m > 80.0m"],
    ),
    (
        "a circle of its own",
        &[(
            "centre: PAD, radius: 1 km}, quiet: true",
            "centre: \"61.2027 N, 7.00 W\", radius: 1 km}, quiet: false",
        )],
        &["Zone pad: centre moved 301m 000; quiet true > false"],
    ),
    (
        "a sector",
        &[("from: 300, to: 060", "from: 310, to: 050")],
        &["Zone north: begins at bearing 300.0deg > 310.0deg; ends at bearing 60.0deg > 50.0deg"],
    ),
    (
        "the corridor along the route",
        &[("line: route, half width: 500 m", "line: route, half width: 600 m")],
        &["Zone on-route: half width 500.0m > 600.0m"],
    ),
    (
        "a corridor no longer along the route",
        &[("line: route, half width: 500 m", "line: [PAD, FAR], half width: 500 m")],
        &["Zone on-route: runs along the planned route > a line of its own"],
    ),
    (
        "a corridor's line",
        &[("line: [PAD, HEAD]", "line: [PAD, \"61.32 N, 7.01 W\"]")],
        &["Zone lane: 1/2 corners 536m; middle of the line moved 268m 270; \
            length of the line 13372.0m > 13382.8m"],
    ),
    (
        "a polygon as a whole",
        &[(
            "[\"61.25 N, 7.10 W\", \"61.25 N, 7.06 W\", \"61.23 N, 7.06 W\", \"61.23 N, 7.10 W\"]",
            "[\"61.25 N, 7.11 W\", \"61.25 N, 7.07 W\", \"61.23 N, 7.07 W\", \"61.23 N, 7.11 W\"]",
        )],
        &["Zone rookery: centre moved 537m 270"],
    ),
    (
        "a polygon's corner",
        &[("\"61.23 N, 7.10 W\"", "\"61.22 N, 7.10 W\"")],
        &["Zone rookery: centre moved 306m 194; area 4.79km2 > 5.98km2; 1/4 corners 1114m"],
    ),
    (
        "a corner more",
        &[("[\"61.25 N, 7.10 W\"", "[\"61.24 N, 7.12 W\", \"61.25 N, 7.10 W\"")],
        &["Zone rookery: centre moved 286m 270; area 4.79km2 > 5.98km2; corners 4 > 5"],
    ),
    (
        "filming allowed",
        &[("no filming: true", "no filming: false")],
        &["Zone rookery: no filming true > false"],
    ),
    (
        "filming by hand",
        &[("no filming: true", "no filming: true\n    hand filming: allowed")],
        &["Zone rookery: filming by hand refused > allowed"],
    ),
    (
        "a gate",
        &[("crossed from: either", "crossed from: left")],
        &["Zone line: crossed from either side > from its left"],
    ),
    (
        "a combined zone",
        &[("{any of: [arch, north], except: [pad]}", "{any of: [arch, lane]}")],
        &["Zone coast: any of arch and north > arch and lane; except pad > -"],
    ),
    (
        "another kind of zone",
        &[(
            "lane: {corridor: {line: [PAD, HEAD], half width: 300 m}}",
            "lane: {circle: {centre: HEAD, radius: 1 km}}",
        )],
        &["Zone lane: kind corridor > circle; centre moved 6686m 000"],
    ),
    (
        "a zone with another name, in others and in rules",
        &[("north", "stack-side"), ("pad:", "field:"), ("[pad]", "[field]")],
        &["Zone field was pad: ", "Zone stack-side was north: "],
    ),
    (
        "a zone more",
        &[(
            "  coast: ",
            "  spare: {circle: {centre: HEAD, radius: 900 m}, quiet: true}\n  coast: ",
        )],
        &["Zone spare added: kind - > circle; where - > at HEAD; radius - > 900.0m; \
            quiet - > true"],
    ),
    (
        "a rule's condition, priority and effects",
        &[
            ("track: 140..220}\n    priority: 5", "track: 130..230, altitude: above 600 ft}"),
            ("camera: {look at: ARCH}", "camera: {look at: ARCH, from: [right, nose]}"),
            ("still: {at closest: ARCH}", "record: off"),
        ],
        &["Rule home-bound: condition track: 140..220 > track: 130..230; \
            condition - > altitude: above 600 ft; priority 5 > 0; \
            camera whichever sees The Arch (ARCH) > whichever of right and nose sees The Arch \
            (ARCH); record - > off; stills at the closest point to The Arch (ARCH), by the camera \
            that is live > -"],
    ),
    (
        "one zone of several",
        &[("not in: on-route", "not in: [on-route, pad]")],
        &["Rule lost: condition - > not in pad"],
    ),
    (
        "how a narration waits",
        &[("{play: arch, wait: 20 s}", "{play: stack, otherwise: skip}")],
        &["Rule out-bound: narration arch > stack; \
            if it cannot start at once waits 20 s at most > left out"],
    ),
    (
        "a rule with another name, and the rule after it",
        &[("crossed:", "over-the-line:"), ("after: crossed", "after: over-the-line")],
        &["Rule over-the-line was crossed: "],
    ),
    (
        "a rule less",
        &[(
            "  hold:\n    when: {groundspeed: below 20 kt, in: north}\n    \
            camera: [{nose: 8 s}, {right: 6 s}]\n    still: {every: 10 s}\n",
            "",
        )],
        &["Rule hold gone: condition groundspeed: below 20 kt > -; condition in north > -; \
            camera in turn nose 8 s, right 6 s > -; stills every 10 s, by the camera that is live \
            > -"],
    ),
    (
        "the order of rules",
        &[
            ("  lost:\n    when: {not in: on-route}\n    title: lost\n", ""),
            ("rules:\n", "rules:\n  lost:\n    when: {not in: on-route}\n    title: lost\n"),
        ],
        &["Rule : order among equal priority film, out-bound, crossed, after-line, lost > \
            lost, film, out-bound, crossed, after-line"],
    ),
    (
        "a text",
        &[("Here is the arch", "There is an arch")],
        &["Narration arch: text Here is the arch that the sea has made out of the cliff. > \
            There is an arch that the sea has made out of the cliff."],
    ),
    (
        "how a narration is told",
        &[("alone.\", length: 12 s}", "alone.\", length: 12 s, again: true, on radio: dropped}")],
        &["Narration stack: may be told again in a flight false > true; \
            while the radio is busy - > cut off"],
    ),
    (
        "a narration with another name",
        &[("stack: {text", "pillar: {text"), ("narration: stack", "narration: pillar")],
        &["Narration pillar was stack: "],
    ),
    (
        "a title, and a piece's title",
        &[("The long way round", "A longer way"), ("Strings and wind", "Strings")],
        &[
            "Title lost: text The long way round > A longer way",
            "Music strings: title Strings and wind > Strings",
        ],
    ),
    (
        "settings",
        &[(
            "minimum shot: 3 s",
            "minimum shot: 4 s\n  breath: 2 s\n  on radio: paused\n  \
            manual camera: until returned\n  altitude slack: 30 m",
        )],
        &["Settings : minimum shot 3s > 4s; a camera picked by hand stays 60s > until returned; \
            breath after a narration 1s > 2s; \
            narrations while the radio is busy plays on, quieter > paused; \
            slack of altitude 25.0m > 30.0m"],
    ),
];

#[test]
fn each_change_is_told_once_and_from_the_other_side_the_other_way_round() {
    let old = compile(TOUR);
    let mut wrong = Vec::new();
    for (what, edits, wanted) in CASES {
        let new = edited(edits);
        let found = between(&old, &new);
        let told = lines(&found.plan);
        if told != *wanted {
            wrong.push(format!("{what}:\n  {}", told.join("\n  ")));
        }
        let back = between(&new, &old);
        for (back, there) in [(&back.plan, &found.plan), (&back.flight, &found.flight)] {
            let (back, there) = (sorted(back), mirrored(there));
            if back != there {
                wrong.push(format!(
                    "{what}, back:\n  {}\n {}",
                    back.join("\n  "),
                    there.join("\n  ")
                ));
            }
        }
        assert!(between(&new, &new).is_empty(), "{what}, with itself");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
