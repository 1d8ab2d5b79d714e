//! What two plans differ in on the planned flight, and whole plans against each other.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on should stop"
)]

mod compared;

use compared::{AIRCRAFT, TOUR, between, compile, compile_with, edited, edited_text, lines};
use compiler::compare::{Detail, Part, Value};
use compiler::event_plan;
use earth::Millis;
use engine::{Event, NarrationEvent};
use plan::{Day, Plan};

/// What is told of the flight where the tour is edited in one way.
fn flight(edits: &[(&str, &str)]) -> Vec<String> {
    lines(&between(&compile(TOUR), &edited(edits)).flight)
}

/// When a narration first starts, in seconds from take-off, as the event plan has it.
fn starts(plan: &Plan, name: &str) -> f64 {
    let events = event_plan(plan, &Day::default(), Millis::from_secs(1)).unwrap();
    let started = events.rows.iter().find(|row| match row.change.event {
        Event::Narration { narration, what: NarrationEvent::Started } => {
            plan.narrations[narration.index()].name == name
        }
        _ => false,
    });
    started.unwrap().since.secs()
}

#[test]
fn a_take_off_at_another_time_moves_nothing_that_is_counted_from_it() {
    let told = flight(&[("T10:30:00Z", "T11:00:00Z")]);
    assert_eq!(told, ["Flight : planned take-off @1780309800000 > @1780311600000"]);
}

#[test]
fn narrations_are_told_to_start_when_the_event_plan_starts_them() {
    let edits = [("airspeed: 90 kt", "airspeed: 75 kt")];
    let (old, new) = (compile(TOUR), edited(&edits));
    let told = flight(&edits);
    for name in ["arch", "stack"] {
        let (was, is) = (starts(&old, name), starts(&new, name));
        assert!(is > was + 5.0, "{name}: {was} {is}");
        let wanted = format!("Told {name}: starts T{was:+}s > T{is:+}s");
        assert!(told.contains(&wanted), "{wanted}: {told:#?}");
    }
    assert!(told[0].starts_with("Flight : in the air "), "{told:#?}");
}

#[test]
fn a_narration_that_is_not_told_says_why() {
    let none = flight(&[("    narration: stack\n", "    title: lost\n")]);
    let gone = none.iter().find(|line| line.starts_with("Told stack gone: starts T+")).unwrap();
    assert!(gone.ends_with("not told - > no rule asks for it"), "{gone}");
    let never = flight(&[("track: 320..040", "track: 080..100")]);
    let gone = never.iter().find(|line| line.starts_with("Told arch gone")).unwrap();
    assert!(gone.ends_with("not told - > its rule does not come up"), "{gone}");
    let quiet = flight(&[("band: below 1500 ft", "quiet: true")]);
    let gone = quiet.iter().find(|line| line.starts_with("Told arch gone")).unwrap();
    assert!(gone.contains("waited for the quiet zone arch and was given up"), "{gone}");
}

#[test]
fn a_narration_that_is_cut_off_says_how_much_is_told_and_by_what() {
    // Longer than the way from the line to the quiet circle round the stack.
    let quiet = [
        ("  coast: ", "  hush: {circle: {centre: STACK, radius: 2 km}, quiet: true}\n  coast: "),
        ("alone.\", length: 12 s}", "alone.\", length: 90 s}"),
    ];
    let told = flight(&quiet);
    let cut = told.iter().find(|line| line.starts_with("Told stack: lasts 12s > 90s")).unwrap();
    assert!(cut.contains("told to its end > "), "{cut}");
    assert!(cut.ends_with("s of it, then cut off: the quiet zone hush is entered"), "{cut}");
}

#[test]
fn a_length_that_is_told_with_the_flight_is_not_told_again() {
    let longer = between(&compile(TOUR), &edited(&[("the cliff.", "the cliff over the years.")]));
    let lasts = "Told arch: lasts 6s > 7.4s";
    assert!(lines(&longer.flight).contains(&lasts.to_owned()), "{:#?}", longer.flight);
    let text = lines(&longer.plan);
    assert!(
        text[0].starts_with("Narration arch: text ") && !text[0].contains("length"),
        "{text:?}"
    );
    // One that is not told has its length with its text.
    let silent = [("    narration: {play: arch, wait: 20 s}\n", "")];
    let (old, new) =
        (edited(&silent), edited(&[silent[0], ("the cliff.", "the cliff over there.")]));
    let told = between(&old, &new);
    assert!(told.flight.is_empty(), "{:#?}", told.flight);
    assert!(lines(&told.plan)[0].ends_with("length 6s > 7s"), "{:#?}", told.plan);
}

#[test]
fn cameras_recording_stills_music_and_titles_are_told() {
    let told = flight(&[
        ("    camera: left\n", "    camera: right\n"),
        (
            "  hold:\n    when: {groundspeed: below 20 kt",
            "  hold:\n    when: {groundspeed: below 200 kt",
        ),
        ("music: strings", "music: strings\n    priority: 9\n    record: off"),
        ("title: lost", "title: lost\n    still: {camera: nose}"),
        ("  lost:\n    when: {not in: on-route}", "  lost:\n    when: {in: arch}"),
    ]);
    let has = |start: &str| told.iter().any(|line| line.starts_with(start));
    for part in ["Live left: live ", "Live right: live ", "Live nose: live "] {
        assert!(has(part), "{part} {told:#?}");
    }
    assert!(
        told.iter()
            .any(|line| line.starts_with("Recorded : recorded ") && line.contains("takes 1 > ")),
        "{told:#?}"
    );
    for part in
        ["Stills : stills 7 > 27", "Stills nose: stills 3 > 16", "Shown lost added: starts - > T+"]
    {
        assert!(has(part), "{part} {told:#?}");
    }
    // All cameras together are live as long as the flight is, in both.
    let sums = between(&compile(TOUR), &edited(&[("    camera: left\n", "    camera: right\n")]));
    let change: f64 = sums
        .flight
        .iter()
        .filter(|one| one.part == Part::Live)
        .map(|one| match &one.details[0] {
            Detail::Value { old: Some(Value::Time(old)), new: Some(Value::Time(new)), .. } => {
                new.secs() - old.secs()
            }
            other => panic!("{other:?}"),
        })
        .sum();
    assert_eq!(change, 0.0);
}

#[test]
fn filming_inside_before_the_entry_is_known_is_told() {
    let rookery = [(
        "[\"61.25 N, 7.10 W\", \"61.25 N, 7.06 W\", \"61.23 N, 7.06 W\", \"61.23 N, 7.10 W\"]",
        "[\"61.25 N, 7.02 W\", \"61.25 N, 6.98 W\", \"61.23 N, 6.98 W\", \"61.23 N, 7.02 W\"]",
    )];
    let told = flight(&rookery);
    let inside = told.iter().find(|line| line.starts_with("FilmedInside rookery")).unwrap();
    assert!(inside.contains("0s > "), "{inside}");
    assert!(
        told.iter().any(|line| line.starts_with("Recorded : ") && line.contains("takes 1 > 3"))
    );
}

#[test]
fn aircraft_are_told_by_what_they_carry() {
    let other = edited_text(
        AIRCRAFT,
        &[
            ("heading source: none", "heading source: compass"),
            ("bearing: 270, depression: 15 deg", "bearing: 265, depression: 15 deg"),
            ("  cabin: {input: 4, cabin: true}\n", ""),
            (
                "  left:  {",
                "  tail: {input: 5, mount: {bearing: 180, depression: 15 deg}, field of view: {width: 90 deg}}\n  left:  {",
            ),
            ("  nose:", "  front:"),
            ("card: 128 GB", "card: 256 GB"),
        ],
    );
    let tour = edited_text(TOUR, &[("{nose: 8 s}", "{right: 8 s}")]);
    let new = edited_text(&tour, &[]);
    let told = between(&compile(&tour), &compile_with(&new, &other));
    let carried: Vec<String> =
        lines(&told.plan).into_iter().filter(|line| !line.starts_with("Identity")).collect();
    assert_eq!(
        carried,
        [
            "Aircraft : heading source false > true; card 128000000000 > 256000000000",
            "Camera tail added: input - > 5; bearing from the nose - > 180.0deg; \
            pointing below the horizon - > 15.0deg; width of its frame - > 90.0deg",
            "Camera left: bearing from the nose 270.0deg > 265.0deg",
            "Camera front was nose: ",
            "Camera cabin gone: input 4 > -; films the cabin true > -",
        ]
    );
    let live = lines(&told.flight);
    assert!(live.iter().any(|line| line.starts_with("Live tail: live - > ")), "{live:#?}");
    assert!(
        live.iter().any(|line| line.starts_with("Live cabin: live ") && line.ends_with(" > -"))
    );
}

#[test]
fn the_same_legs_in_the_opposite_order_are_the_other_way_round() {
    let there = "    - to: HEAD\n    - orbit: {around: STACK, radius: 600 m, turn: right, turns: 1}\n    - to: FAR\n    - hover: {at: FAR, for: 30 s}\n";
    let back = "    - hover: {at: FAR, for: 30 s}\n    - to: FAR\n    - orbit: {around: STACK, radius: 600 m, turn: left, turns: 1}\n    - {to: HEAD, altitude: 900 ft}\n";
    let told = between(&compile(TOUR), &edited(&[(there, back)]));
    assert_eq!(
        lines(&told.plan),
        [
            "Route : way round as before > the other way round",
            "Route 4 to HEAD: altitude 243.8m > 274.3m",
        ]
    );
    let slow = back
        .replace("- to: FAR", "- {to: FAR, airspeed: 80 kt}")
        .replace("HEAD, alt", "HEAD, airspeed: 70 kt, alt");
    let without = slow.replace("    - hover: {at: FAR, for: 30 s}\n", "");
    let told = between(&compile(TOUR), &edited(&[(there, &without)]));
    assert_eq!(
        lines(&told.plan),
        [
            "Route : way round as before > the other way round",
            "Route 1 to FAR: airspeed 46.30m/s > 41.16m/s",
            "Route 3 to HEAD: altitude 243.8m > 274.3m; airspeed 46.30m/s > 36.01m/s",
            "Route 4 hover at FAR gone: altitude 243.8m > -; airspeed 46.30m/s > -; lasts 30s > -",
        ]
    );
}

#[test]
fn a_plan_read_back_from_its_file_is_the_same_and_so_is_one_written_otherwise() {
    let plan = compile(TOUR);
    let read = plan::read(plan::write(&plan).as_bytes(), "a.plan.json").unwrap();
    assert!(between(&plan, &read).is_empty());
    let otherwise = edited(&[
        ("tour: Out", "# Nothing but a comment.\ntour: Out"),
        ("radius: 1 km}, quiet", "radius: 1000 m}, quiet"),
        ("altitude: 800 ft", "altitude: 243.84 m"),
        ("track: 140..220", "track: 140..220 true"),
        ("\"61.28 N, 7.03 W\"", "\"61°16.8'N 7°01.8'W\""),
    ]);
    assert_ne!(plan::digest(&plan), plan::digest(&otherwise));
    let told = between(&plan, &otherwise);
    assert!(told.is_empty(), "{told:#?}");
}

#[test]
fn sights_that_come_into_the_film_or_leave_it_are_told() {
    // The left camera has the arch on the way out; the right one looks the other way.
    let other_side = [
        ("    camera: left\n", "    camera: right\n"),
        ("camera: {look at: ARCH}", "camera: left"),
    ];
    let told = flight(&other_side);
    let arch = told.iter().find(|line| line.starts_with("Filmed ARCH: in the film ")).unwrap();
    let times = arch.trim_start_matches("Filmed ARCH: in the film ").split(" > ");
    let times: Vec<f64> = times.map(|time| time.trim_end_matches('s').parse().unwrap()).collect();
    assert!(times[1] < times[0] / 2.0, "{arch}");
    // What is not recorded is not in the film.
    let unrecorded = flight(&[("    record: on\n    post-roll: 4 s\n", "    title: lost\n")]);
    let gone = unrecorded.iter().find(|line| line.starts_with("Filmed ARCH gone: in the film "));
    assert!(gone.unwrap().ends_with("s > 0s"), "{gone:?}");
    let recorded = [("    record: on\n    post-roll: 4 s\n", "    title: lost\n")];
    let back = lines(&between(&edited(&recorded), &compile(TOUR)).flight);
    assert!(back.iter().any(|line| line.starts_with("Filmed ARCH added: in the film 0s > ")));
}
