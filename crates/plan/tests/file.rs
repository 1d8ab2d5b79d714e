//! The plan file: written and read back, by itself and by code that shares none of its types.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use common::{Maker, bare, made_up};
use plan::{Approval, digest, read, write};
use serde_json::Value;

#[test]
fn what_was_written_is_read_back_the_same() {
    for seed in 0..2_000 {
        let plan = made_up(seed);
        plan.check().unwrap_or_else(|error| panic!("seed {seed}: {error}"));
        let text = write(&plan);
        let again = read(text.as_bytes(), "p.json").unwrap_or_else(|e| panic!("{seed}: {e:?}"));
        assert_eq!(again, plan, "seed {seed}");
        assert_eq!(write(&again), text, "seed {seed}");
    }
}

/// Every float of the file, read by the standard library, is the one that was written.
#[test]
fn floats_are_exact() {
    let mut plan = bare();
    let mut maker = Maker::new(7);
    for _ in 0..5_000 {
        let metres = f64::from_bits(maker.bits());
        if !(0.1..1e6).contains(&metres.abs()) {
            continue;
        }
        let metres = metres.abs() % 3_000.0;
        plan.places[0].elevation = Some(earth::Metres::of(metres));
        let text = write(&plan);
        let start = text.find("\"elevation\":").unwrap() + "\"elevation\":".len();
        let digits: String = text[start..].chars().take_while(|c| !",}".contains(*c)).collect();
        assert_eq!(digits.parse::<f64>().unwrap().to_bits(), metres.to_bits(), "{digits}");
        assert_eq!(read(text.as_bytes(), "p").unwrap(), plan);
    }
}

#[test]
fn the_file_is_what_its_description_says() {
    let mut plan = made_up(3);
    plan.zones = vec![common::zone("arch", common::circle())];
    plan.rules = vec![];
    let text = write(&plan);
    assert!(text.ends_with("}\n"));
    let document: Value = serde_json::from_str(&text).unwrap();
    let keys: Vec<_> = document.as_object().unwrap().keys().cloned().collect();
    assert_eq!(keys.len(), 6);
    assert_eq!(document["format"], "fulmar-plan");
    assert_eq!(document["version"], 4);
    let digest = document["digest"].as_str().unwrap();
    assert_eq!(digest.len(), 64);
    assert!(digest.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b)));
    assert_eq!(document["code"].as_str().unwrap(), &digest[..6]);
    let zone = &document["plan"]["zones"][0];
    assert_eq!(zone["name"], "arch");
    assert_eq!(zone["shape"]["circle"]["centre"], serde_json::json!([-40.0, -150.0]));
    assert_eq!(zone["shape"]["circle"]["radius"], 600.0);
    assert_eq!(zone["margin"], 50.0);
    assert_eq!(zone["quiet"], false);
    assert_eq!(zone["no_filming"], Value::Null);
    let seconds = document["plan"]["settings"]["turnaround"].as_i64().unwrap();
    assert_eq!(seconds, plan.settings.turnaround.0);
}

/// A text with what stands between each `from` and the next `to` written otherwise.
fn between(text: &str, from: &str, to: char, instead: &str) -> String {
    let mut parts = text.split(from);
    let mut new = parts.next().unwrap().to_owned();
    for part in parts {
        let end = part.find(to).unwrap();
        new.push_str(from);
        new.push_str(instead);
        new.push_str(&part[end..]);
    }
    new
}

/// The digest and the seal, taken from the file by a program that knows only the description.
#[test]
fn the_digest_is_blake3_of_the_compact_plan_without_places_and_the_seal_with_them() {
    let text = write(&made_up(11));
    let document: Value = serde_json::from_str(&text).unwrap();
    // The compact plan is the file's text from the key `plan` on without the layout.
    let start = text.find("\"plan\": ").unwrap() + "\"plan\": ".len();
    let laid_out = &text[start..text.trim_end().len() - 1];
    let mut compact = String::new();
    let (mut in_string, mut escaped) = (false, false);
    for c in laid_out.chars() {
        if in_string || !c.is_ascii_whitespace() {
            compact.push(c);
        }
        in_string ^= c == '"' && !escaped;
        escaped = c == '\\' && !escaped;
    }
    let expected = blake3::hash(compact.as_bytes()).to_hex();
    assert_eq!(document["seal"].as_str().unwrap(), expected.as_str());
    let nowhere = "\"file\":0,\"line\":0,\"column\":0";
    let without = between(&compact, "\"source\":{", '}', nowhere);
    let without = between(&without, "\"sources\":[", ']', "");
    // An approval is an object in an object, a draft is a word.
    let draft = between(&without, "\"approval\":", ',', "\"draft\"");
    let draft = match draft.find("\"approval\":\"draft\",\"on\":") {
        Some(at) => {
            let rest = at + draft[at..].find("}}").unwrap() + 2;
            format!("{}\"approval\":\"draft\"{}", &draft[..at], &draft[rest..])
        }
        None => draft,
    };
    let expected = blake3::hash(draft.as_bytes()).to_hex();
    assert_eq!(document["digest"].as_str().unwrap(), expected.as_str());
}

#[test]
fn every_field_is_described() {
    let description = include_str!("../FORMAT.md");
    let mut missing = std::collections::BTreeSet::new();
    for seed in 0..200 {
        let document: Value = serde_json::from_str(&write(&made_up(seed))).unwrap();
        visit(&document, &mut |key| {
            if !description.contains(&format!("`{key}`")) {
                missing.insert(key.to_owned());
            }
        });
    }
    assert!(missing.is_empty(), "not in FORMAT.md: {missing:?}");
}

fn visit(value: &Value, with: &mut impl FnMut(&str)) {
    match value {
        Value::Object(fields) => {
            for (key, value) in fields {
                with(key);
                visit(value, with);
            }
        }
        Value::Array(values) => values.iter().for_each(|value| visit(value, with)),
        _ => {}
    }
}

/// The bytes of one plan, so that a change of the format or of the digest is seen and the version
/// raised with it. The same on every machine.
#[test]
fn the_bytes_of_a_known_plan_stay_the_same() {
    let text = write(&bare());
    assert_eq!(digest(&bare()).code(), "58ef4e");
    assert_eq!(
        blake3::hash(text.as_bytes()).to_hex().as_str(),
        "6fdb380f6e66ee5c711aaf24b47c5b1abe87bbd5438d9f3a096fbcc957369254"
    );
}

#[test]
fn one_entry_stands_on_one_line() {
    let mut plan = bare();
    plan.places.push(common::place("ARCH"));
    let text = write(&plan);
    let lines: Vec<&str> = text.lines().filter(|line| line.contains("\"position\"")).collect();
    assert_eq!(lines.len(), 2);
    assert!(lines.iter().all(|line| line.starts_with("      {") && line.contains("\"kind\":")));
}

#[test]
fn another_layout_and_order_is_the_same_plan() {
    let plan = made_up(5);
    let document: Value = serde_json::from_str(&write(&plan)).unwrap();
    // `Value` sorts the keys by name.
    let text = serde_json::to_string_pretty(&document).unwrap();
    assert_eq!(read(text.as_bytes(), "p").unwrap(), plan);
    // Some editors put a byte order mark before the text.
    let marked = [b"\xef\xbb\xbf", text.as_bytes()].concat();
    assert_eq!(read(&marked, "p").unwrap(), plan);
}

#[test]
fn the_digest_does_not_say_where_a_plan_was_written_and_the_seal_guards_that_too() {
    let plan = made_up(5);
    let mut elsewhere = plan.clone();
    elsewhere.sources.iter_mut().for_each(|name| name.insert(0, 'x'));
    elsewhere.zones.iter_mut().for_each(|zone| zone.source.line += 1);
    elsewhere.rules.iter_mut().for_each(|rule| rule.source.column += 1);
    elsewhere.narrations.iter_mut().for_each(|narration| narration.source.line += 1);
    elsewhere.approval = match plan.approval {
        Approval::Draft => Approval::Approved { by: "A".into(), on: "2026-05-01".into() },
        Approval::Approved { .. } => Approval::Draft,
    };
    assert_ne!(plan, elsewhere);
    assert_eq!(digest(&plan), digest(&elsewhere));
    let mut other = plan.clone();
    other.revision += 1;
    assert_ne!(digest(&plan), digest(&other));

    // The seal of the one in the file of the other.
    let (one, two): (Value, Value) = (
        serde_json::from_str(&write(&plan)).unwrap(),
        serde_json::from_str(&write(&elsewhere)).unwrap(),
    );
    let mut forged = one.clone();
    forged["plan"]["approval"] = two["plan"]["approval"].clone();
    assert_eq!(refused(forged.to_string().as_bytes()).name, "plan-changed");
}

fn refused(text: &[u8]) -> diagnostic::Diagnostic {
    let found = read(text, "card/plan.json").unwrap_err();
    assert!(!found.help.is_empty(), "{found:?}");
    assert_eq!(&*found.place.file, "card/plan.json");
    found
}

#[test]
fn what_is_no_plan_is_refused_by_name_with_a_place_and_a_remedy() {
    let good = write(&made_up(21));
    let broken = |from: &str, to: &str| {
        assert!(good.contains(from), "{from}");
        good.replacen(from, to, 1).into_bytes()
    };
    let deep = format!("{{\"x\":{}", "[".repeat(100_000));
    let deep_plan = broken("\"plan\": {", &format!("\"plan\": {}{{", "[".repeat(100_000)));
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("nothing", vec![], "plan-empty"),
        ("blanks", b" \n\t ".to_vec(), "plan-empty"),
        ("bytes", vec![0xff, 0xfe, 0, 1], "plan-not-text"),
        ("nul", vec![0; 64], "plan-format"),
        ("a flight", b"<?xml version=\"1.0\"?><gpx/>".to_vec(), "plan-format"),
        ("other JSON", b"{\"type\":\"FeatureCollection\"}".to_vec(), "plan-format"),
        ("another format", broken("fulmar-plan", "fulmar-day"), "plan-format"),
        ("a later version", broken("\"version\": 4", "\"version\": 5"), "plan-version"),
        ("an earlier version", broken("\"version\": 4", "\"version\": 1"), "plan-version"),
        ("a huge version", broken("\"version\": 4", "\"version\": 1e300"), "plan-version"),
        ("a name for a version", broken("\"version\": 4", "\"version\": \"1\""), "plan-content"),
        ("deep", deep.into_bytes(), "plan-not-json"),
        ("deep inside", deep_plan, "plan-not-json"),
        ("cut off", good.as_bytes()[..good.len() / 2].to_vec(), "plan-not-json"),
        ("followed by more", format!("{good}{{}}").into_bytes(), "plan-not-json"),
        ("NaN", broken("\"minimum_speed\":", "\"minimum_speed\":NaN,\"x\":"), "plan-not-json"),
        ("huge", broken("\"minimum_speed\":", "\"minimum_speed\":1e999,\"x\":"), "plan-not-json"),
        ("null", broken("\"minimum_speed\":", "\"minimum_speed\":null,\"x\":"), "plan-content"),
        ("a key twice", broken("\"plan\": {", "\"code\": \"\", \"plan\": {"), "plan-content"),
        ("an unknown key", broken("\"plan\": {", "\"seal\": 1, \"plan\": {"), "plan-content"),
        ("another title", broken("tour0", "tour1"), "plan-changed"),
        ("another code", broken("\"code\": \"", "\"code\": \"x"), "plan-changed"),
        ("another digest", broken("\"digest\": \"", "\"digest\": \"x"), "plan-changed"),
    ];
    let mut fired = std::collections::BTreeSet::from(["plan-unsound"]);
    for (what, bytes, name) in cases {
        fired.insert(name);
        let found = refused(&bytes);
        assert_eq!(found.name, name, "{what}: {found:?}");
        assert!(name == "plan-empty" || found.place.line > 0, "{what}: {found:?}");
        assert!(found.headline.chars().count() < 400, "{what}: {found:?}");
    }
    let told: Vec<&str> = plan::pages().iter().map(|page| page.name).collect();
    assert_eq!(told, Vec::from_iter(fired), "a page for every finding, in order");
    assert!(plan::pages().iter().all(diagnostic::Page::is_whole));
}

#[test]
fn the_place_is_the_line_and_the_column_in_characters() {
    let text = "{\n  \"format\": \"fulmar-plan\", \"version\": 2,\n  \"é\": 1 ]";
    let found = refused(text.as_bytes());
    assert_eq!((found.place.line, found.place.column), (3, 10), "{found:?}");
    let text = write(&bare());
    let line = text.lines().position(|line| line.contains("\"zones\"")).unwrap() + 1;
    let found = refused(text.replace("\"zones\"", "\"zonen\"").as_bytes());
    assert_eq!(found.place.line as usize, line, "{found:?}");
    assert!(found.headline.contains("unknown field `zonen`"), "{found:?}");
}

#[test]
fn an_unsound_plan_with_a_true_digest_is_refused() {
    let mut plan = bare();
    plan.route.home = plan::PlaceId(9);
    let found = refused(write(&plan).as_bytes());
    assert_eq!(found.name, "plan-unsound");
    assert!(found.headline.contains("place 9"), "{found:?}");
}

/// Seeded damage: bytes changed, cut, doubled and swapped. Never a panic, and never a plan other
/// than the one that was written.
#[test]
fn damage_is_never_taken_for_a_plan() {
    let mut maker = Maker::new(0x0bad_5eed);
    let plans: Vec<_> = (40..48).map(made_up).collect();
    let files: Vec<_> = plans.iter().map(|plan| write(plan).into_bytes()).collect();
    let (mut refusals, rounds) = (0, 20_000);
    for round in 0..rounds {
        let which = maker.below(files.len());
        let mut bytes = files[which].clone();
        for _ in 0..=maker.below(3) {
            let at = maker.below(bytes.len());
            match maker.below(5) {
                0 => bytes[at] = maker.bits() as u8,
                1 => bytes.truncate(at.max(1)),
                2 => bytes.insert(at, b"{}[]\",:0-9eE.\\\0"[maker.below(15)]),
                3 => drop(bytes.remove(at)),
                _ => {
                    let end = (at + maker.below(200)).min(bytes.len());
                    let piece = bytes[at..end].to_vec();
                    let into = maker.below(bytes.len());
                    bytes.splice(into..into, piece);
                }
            }
            if bytes.is_empty() {
                bytes.push(b'{');
            }
        }
        match read(&bytes, "p") {
            Ok(plan) => assert_eq!(plan, plans[which], "round {round}"),
            Err(_) => refusals += 1,
        }
    }
    assert!(refusals > rounds / 2, "{refusals} of {rounds}");
}

/// The pointers (RFC 6901) to every object of a document.
fn objects(value: &Value, at: &str, into: &mut Vec<String>) {
    match value {
        Value::Object(fields) => {
            into.push(at.to_owned());
            fields.iter().for_each(|(key, value)| objects(value, &format!("{at}/{key}"), into));
        }
        Value::Array(values) => {
            let numbered = values.iter().enumerate();
            numbered.for_each(|(index, value)| objects(value, &format!("{at}/{index}"), into));
        }
        _ => {}
    }
}

#[test]
fn a_key_too_many_is_refused_everywhere_and_one_too_few_is_never_made_up() {
    for seed in 60..75 {
        let plan = made_up(seed);
        let document: Value = serde_json::from_str(&write(&plan)).unwrap();
        let mut pointers = vec![];
        objects(&document, "", &mut pointers);
        for pointer in pointers {
            let mut more = document.clone();
            let fields = more.pointer_mut(&pointer).unwrap().as_object_mut().unwrap();
            let keys: Vec<String> = fields.keys().cloned().collect();
            fields.insert("zzz".into(), Value::Null);
            let found = refused(more.to_string().as_bytes());
            // Of two keys where one of several words belongs, the reader only sees a stray comma.
            let named = ["plan-content", "plan-not-json"].contains(&found.name);
            assert!(named, "seed {seed}, at `{pointer}`: {found:?}");
            for key in keys {
                let mut fewer = document.clone();
                fewer.pointer_mut(&pointer).unwrap().as_object_mut().unwrap().remove(&key);
                if let Ok(read) = read(fewer.to_string().as_bytes(), "p") {
                    assert_eq!(read, plan, "seed {seed}, without `{pointer}/{key}`");
                }
            }
        }
    }
}
