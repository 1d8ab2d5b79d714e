//! The page's data: what FORMAT.md and the types of the program that reads it say, and the same
//! flight as `simulate` and `coverage` tell it. Read as plain values, without the types that wrote it.

#![allow(clippy::disallowed_methods, reason = "what is reckoned once more need not be exact")]
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a test that cannot go on should stop"
)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use geographiclib_rs::{Geodesic, InverseGeodesic};
use serde_json::Value;

const WEST: &str = "routes/tours/west-coast.yaml";
const EAST: &str = "routes/tours/eastern-isles.yaml";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn fulmar(args: &[&str]) -> String {
    let done =
        Command::new(env!("CARGO_BIN_EXE_fulmar")).args(args).current_dir(root()).output().unwrap();
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(matches!(done.status.code(), Some(0 | 1)), "{args:?}: {said}");
    String::from_utf8(done.stdout).unwrap()
}

/// The data of a page, from the words behind `fulmar page`.
fn data(args: &[&str]) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("page.json");
    let to = ["--format", "json", "-o", path.to_str().unwrap()];
    let words: Vec<&str> = ["page"].iter().chain(args).chain(&to).copied().collect();
    fulmar(&words);
    serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap()
}

/// Pages that between them have something of everything.
fn pages() -> Vec<Value> {
    let flights = |name: &str| format!("examples/flights/{name}");
    let by_hand = flights("west-coast-hand.csv");
    let (planned, dropout) = (flights("west-coast-planned.gpx"), flights("west-coast-dropout.gpx"));
    let wide = flights("west-coast-off-course.gpx");
    vec![
        data(&[WEST, "--departure", "2026-06-14T19:30:00-02:00", "--language", "en,de"]),
        data(&[WEST, &planned, "--hand", &by_hand, "--not-allowed", "cabin"]),
        data(&[WEST, &dropout, "--beside", &wide]),
        data(&[EAST]),
    ]
}

/// Every key of an object anywhere in it.
fn keys(value: &Value, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(members) => {
            for (key, value) in members {
                into.insert(key.clone());
                keys(value, into);
            }
        }
        Value::Array(values) => values.iter().for_each(|value| keys(value, into)),
        _ => {}
    }
}

#[test]
fn every_key_is_described() {
    let format = fs::read_to_string(root().join("crates/preview/FORMAT.md")).unwrap();
    let described: BTreeSet<&str> = format.split('`').skip(1).step_by(2).collect();
    let mut all = BTreeSet::new();
    pages().iter().for_each(|page| keys(page, &mut all));
    assert!(all.len() > 100, "{}", all.len());
    let missing: Vec<&String> =
        all.iter().filter(|key| !described.contains(key.as_str())).collect();
    assert!(missing.is_empty(), "not in crates/preview/FORMAT.md: {missing:?}");
}

/// A copy of the page's program with what it is made of, outside the repository.
fn program() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("web");
    let source = root().join("crates/preview/web");
    let _ = fs::remove_dir_all(folder.join("src"));
    fs::create_dir_all(folder.join("src")).unwrap();
    for part in ["", "src"] {
        for entry in fs::read_dir(source.join(part)).unwrap() {
            let path = entry.unwrap().path();
            if path.is_file() {
                fs::copy(&path, folder.join(part).join(path.file_name().unwrap())).unwrap();
            }
        }
    }
    let (lock, kept) = (folder.join("package-lock.json"), folder.join("installed-from.json"));
    let lock = fs::read(lock).unwrap();
    if fs::read(&kept).ok().as_ref() != Some(&lock) {
        run(
            "npm",
            &["ci", "--ignore-scripts", "--no-audit", "--no-fund", "--prefer-offline"],
            &folder,
        );
        fs::write(kept, lock).unwrap();
    }
    folder
}

fn run(program: &str, args: &[&str], folder: &Path) {
    let done = Command::new(program).args(args).current_dir(folder).output().unwrap();
    let out = String::from_utf8_lossy(&done.stdout);
    let err = String::from_utf8_lossy(&done.stderr);
    // A page is long; what is wrong with it stands at the beginning.
    let said: String = out.chars().take(4000).chain(err.chars().take(4000)).collect();
    assert!(done.status.success(), "{program} {args:?}\n{said}");
}

/// A key too many, one too few or of another type is an error of the compiler.
#[test]
fn the_program_is_sound_and_its_types_are_those_of_the_data() {
    let folder = program();
    for (number, page) in pages().iter().enumerate() {
        let text =
            format!("import type {{ Page }} from \"./data\";\nexport const page: Page = {page};\n");
        fs::write(folder.join(format!("src/written-{number}.ts")), text).unwrap();
    }
    run("npm", &["run", "--silent", "check"], &folder);
}

/// A column of fixes.
fn column(side: &Value, name: &str) -> Vec<Option<f64>> {
    let column = &side["fixes"][name];
    let scale = column["scale"].as_f64().unwrap();
    let mut sum = 0.0;
    let deltas = column["deltas"].as_array().unwrap().iter();
    deltas
        .map(|delta| {
            sum += delta.as_f64()?;
            Some(sum / scale)
        })
        .collect()
}

/// What `simulate` says of each fix, against the columns of the page.
#[test]
fn the_fixes_are_those_of_simulate() {
    let flight = "examples/flights/west-coast-dropout.gpx";
    let page = data(&[WEST, flight]);
    let side = &page["sides"][0];
    let states = fulmar(&["simulate", WEST, flight, "--states", "csv"]);
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(states.as_bytes());
    let heads = reader.headers().unwrap().clone();
    let at = |name: &str| {
        heads.iter().position(|head| head == name).unwrap_or_else(|| panic!("{name}: {heads:?}"))
    };
    let pairs = [
        ("latitude", at("lat"), 1e-6),
        ("longitude", at("lon"), 1e-6),
        ("altitude", at("altitude_m"), 0.06),
        ("groundspeed", at("groundspeed_m_s"), 0.06),
        ("track", at("track_deg"), 0.06),
        ("heading", at("heading_deg"), 0.06),
    ];
    let columns: Vec<Vec<Option<f64>>> =
        pairs.iter().map(|(name, ..)| column(side, name)).collect();
    let mut rows = 0;
    for record in reader.records() {
        let record = record.unwrap();
        for ((name, place, within), column) in pairs.iter().zip(&columns) {
            let told = record[*place].parse::<f64>().ok();
            let (shown, wanted) = (column[rows], told);
            assert_eq!(shown.is_some(), wanted.is_some(), "{name} of fix {rows}");
            let Some((shown, wanted)) = shown.zip(wanted) else { continue };
            let apart = (shown - wanted).abs();
            let apart = if name.ends_with('k') || name.ends_with('g') {
                apart.min(360.0 - apart)
            } else {
                apart
            };
            assert!(apart <= *within, "{name} of fix {rows}: {shown} is not {wanted}");
        }
        rows += 1;
    }
    assert_eq!(side["fixes"]["count"], rows);
    assert!(rows > 1000, "{rows}");
    let changes = fulmar(&["simulate", WEST, flight, "--changes"]);
    let losses = changes.matches("good -> lost").count();
    assert!(losses > 0, "{changes}");
    assert_eq!(side["lost"].as_array().unwrap().len(), losses);
}

#[test]
fn the_sights_are_those_of_coverage() {
    let flight = "examples/flights/west-coast-wind.gpx";
    let page = data(&[WEST, flight]);
    let side = &page["sides"][0];
    let told = fulmar(&["coverage", WEST, flight, "--format", "json"]);
    let told: Value = serde_json::from_str(&told).unwrap();
    let list = |sights: &Value, keys: [&str; 3]| -> Vec<Vec<Value>> {
        let sights = sights.as_array().unwrap().iter();
        sights.map(|sight| keys.iter().map(|key| sight[*key].clone()).collect()).collect()
    };
    let shown = list(&side["sights"], ["filmed", "in_any", "in_live"]);
    assert_eq!(shown, list(&told["sights"], ["is_filmed", "in_any_ms", "in_live_ms"]));
    // Each that is missed is found, at a moment of the flight.
    let missed = shown.iter().filter(|sight| sight[0] == false).count();
    assert!(missed > 0);
    let findings = side["findings"].as_array().unwrap();
    let found: Vec<&Value> =
        findings.iter().filter(|finding| finding["name"] == "sight-missed").collect();
    assert_eq!(found.len(), missed);
    let length = side["length"].as_i64().unwrap();
    assert!(found.iter().all(|it| (0..=length).contains(&it["at"].as_i64().unwrap())));
}

/// When the sun shines into a lens, reckoned once more from the columns: where the aircraft flies
/// level, the sun is in the lens of a camera while it is within 30 degrees of its axis or in its
/// picture, and at no other time. No camera of the demo that looks outside is hidden by the airframe
/// there.
#[test]
fn the_sun_is_in_the_lens_when_it_stands_before_it() {
    let page = data(&[WEST, "--departure", "2026-06-14T19:30:00-02:00"]);
    let side = &page["sides"][0];
    let [time, heading, bank, azimuth, elevation] =
        ["time", "heading", "bank", "sun_azimuth", "sun_elevation"].map(|name| column(side, name));
    let spans = side["sun_in_lens"].as_array().unwrap();
    assert!(spans.len() > 5, "{}", spans.len());
    let unit = |azimuth: f64, elevation: f64| {
        let (east, north) = azimuth.to_radians().sin_cos();
        let (up, level) = elevation.to_radians().sin_cos();
        [level * east, level * north, up]
    };
    let (mut inside, mut outside) = (0, 0);
    for (number, camera) in side["cameras"].as_array().unwrap().iter().enumerate() {
        let degrees = |key: &str| camera[key].as_f64().unwrap();
        if camera["cabin"] == true || !camera["hidden"].as_array().unwrap().is_empty() {
            continue;
        }
        for fix in 0..time.len() {
            let (Some(heading), Some(bank)) = (heading[fix], bank[fix]) else { continue };
            let (sun, up) = (azimuth[fix].unwrap(), elevation[fix].unwrap());
            if bank.abs() > 0.2 || up < 0.0 {
                continue;
            }
            let axis = unit(heading + degrees("bearing"), -degrees("depression"));
            let dot: f64 = axis.iter().zip(unit(sun, up)).map(|(one, other)| one * other).sum();
            let apart = dot.clamp(-1.0, 1.0).acos().to_degrees();
            let moment = time[fix].unwrap() as i64;
            let told = spans.iter().find(|span| {
                let at = |key: &str| span[key].as_i64().unwrap();
                at("camera") == number as i64 && (at("from")..at("to")).contains(&moment)
            });
            // Nothing is farther from the axis in a picture than its corner.
            let corner = degrees("width").hypot(degrees("height")) / 2.0;
            let (is_told, in_frame) =
                (told.is_some(), told.is_some_and(|it| it["in_frame"] == true));
            let what = format!("{} at {moment}: {apart:.2} degrees", camera["name"]);
            if apart < 29.5 {
                inside += 1;
                assert!(is_told, "{what}");
            }
            if apart > 30.5 && is_told {
                assert!(in_frame && apart < corner, "{what}");
            }
            if apart > corner.max(30.5) {
                outside += 1;
                assert!(!is_told, "{what}");
            }
        }
    }
    assert!(inside > 100 && outside > 1000, "{inside} inside, {outside} outside");
}

/// The points of a line.
fn points(line: &Value) -> Vec<(f64, f64)> {
    let numbers: Vec<i64> =
        line.as_array().unwrap().iter().map(|it| it.as_i64().unwrap()).collect();
    let (mut lon, mut lat) = (0, 0);
    numbers
        .chunks(2)
        .map(|pair| {
            (lon, lat) = (lon + pair[0], lat + pair[1]);
            (lat as f64 / 1e6, lon as f64 / 1e6)
        })
        .collect()
}

fn metres(one: (f64, f64), other: (f64, f64)) -> f64 {
    let geodesic = Geodesic::wgs84();
    let distance: f64 = geodesic.inverse(one.0, one.1, other.0, other.1);
    distance
}

/// The outlines against the shapes in the plan, with GeographicLib in Rust as it comes: each point of
/// a circle lies at its radius, and each of a corridor at its half-width from its line.
#[test]
fn zones_are_drawn_where_they_are() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.json");
    let mut corridors = 0;
    let mut circles = 0;
    for tour in [WEST, EAST] {
        fulmar(&["plan", tour, "-o", path.to_str().unwrap()]);
        let plan: Value = serde_json::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
        let page = data(&[tour]);
        let zones = page["sides"][0]["zones"].as_array().unwrap();
        for (zone, drawn) in plan["plan"]["zones"].as_array().unwrap().iter().zip(zones) {
            assert_eq!(zone["name"], drawn["name"]);
            let rings = |drawn: &Value| -> Vec<(f64, f64)> {
                let areas = drawn["areas"].as_array().unwrap().iter();
                areas.flat_map(|rings| rings.as_array().unwrap()).flat_map(points).collect()
            };
            let place = |at: &Value| (at[0].as_f64().unwrap(), at[1].as_f64().unwrap());
            let shape = &zone["shape"];
            if let Some(circle) = shape.get("circle") {
                circles += 1;
                let radius = circle["radius"].as_f64().unwrap();
                for point in rings(drawn) {
                    let out = metres(place(&circle["centre"]), point) - radius;
                    assert!(out.abs() < 0.2, "{}: {out} m from its edge", zone["name"]);
                }
            }
            if let Some(corridor) = shape.get("corridor") {
                corridors += 1;
                let line: Vec<(f64, f64)> =
                    corridor["line"].as_array().unwrap().iter().map(place).collect();
                let half = corridor["half_width"].as_f64().unwrap();
                for point in rings(drawn) {
                    let legs = line.windows(2).map(|leg| away(point, leg[0], leg[1]));
                    let out = legs.fold(f64::INFINITY, f64::min) - half;
                    // Rounded ends are drawn with edges, which lie a little inside.
                    assert!(out.abs() < half * 0.01 + 0.5, "{}: {out} m", zone["name"]);
                }
            }
            assert_eq!(
                drawn["areas"].as_array().unwrap().is_empty(),
                drawn["kind"] == "gate",
                "{}",
                zone["name"]
            );
        }
    }
    assert!(circles > 5 && corridors > 0, "{circles} circles, {corridors} corridors");
}

/// The distance of a point from a geodesic, by halving: the nearest place lies on one side or the
/// other.
fn away(point: (f64, f64), from: (f64, f64), to: (f64, f64)) -> f64 {
    let along = |share: f64| {
        // Legs of the demo are short: between their ends the straight line in degrees is the geodesic
        // to far less than is asked here.
        (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share)
    };
    let (mut least, mut most) = (0.0, 1.0);
    for _ in 0..60 {
        let (one, other) = (least + (most - least) / 3.0, most - (most - least) / 3.0);
        if metres(point, along(one)) < metres(point, along(other)) {
            most = other;
        } else {
            least = one;
        }
    }
    metres(point, along(f64::midpoint(least, most)))
}

#[test]
fn what_cannot_be_drawn_or_played_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    fs::write(path("bad.geojson"), "{\"type\": \"Point\", \"coordinates\": [46.3, 97.2]}").unwrap();
    fs::write(path("bad.aiff"), "FORM").unwrap();
    let cases: [(&[&str], &str); 4] = [
        (&["--shapes", &path("bad.geojson")], "shapes-unusable"),
        (&["--tiles", "tiles.example"], "tiles-unusable"),
        (&["--sound", &path("bad.aiff")], "sound-unusable"),
        (&["--beside-number", "3"], "no-such-flight"),
    ];
    for (more, name) in cases {
        let out = path("page.html");
        let words: Vec<&str> = ["page", WEST, "-o", &out, "--message-format", "concise"]
            .iter()
            .chain(more)
            .copied()
            .collect();
        let done = Command::new(env!("CARGO_BIN_EXE_fulmar"))
            .args(&words)
            .current_dir(root())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&done.stderr);
        assert_eq!(done.status.code(), Some(2), "{words:?}: {said}");
        assert!(said.contains(name), "{words:?}: {said}");
        assert!(!Path::new(&out).exists(), "{words:?} wrote a page");
    }
}
