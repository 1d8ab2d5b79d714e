//! The ground and the light on the command line, with what can be wrong about them.

use serde_json::Value;

use crate::project::{Done, Project};

/// A tile at the project's place: so high where the latitude, in twelve-hundredths of a degree from
/// its north, and the longitude, from its west, say so.
fn tile(height: impl Fn(u16, u16) -> i16) -> Vec<u8> {
    let points = (0..1201).flat_map(|row| (0..1201).map(move |column| (row, column)));
    points.flat_map(|(row, column)| height(row, column).to_be_bytes()).collect()
}

fn coverage(project: &Project, more: &[&str]) -> Done {
    let mut args = vec!["coverage", "tours/west.yaml", "--planned"];
    args.extend(more);
    project.fulmar(&args)
}

/// The sight of the project lies 1.1 km to the left of the way out, which is flown at 300 m.
#[test]
fn a_hill_beside_the_way_hides_the_sight() {
    let project = Project::new();
    let flat = coverage(&project, &[]);
    assert_eq!(flat.code, 0, "{}", flat.err);
    assert!(flat.out.contains("1 of 1 sight filmed"), "{}", flat.out);
    assert!(flat.out.contains("no heights of the ground are known"), "{}", flat.out);
    // The middle, 0.005 degrees to the west of the way, lies on the tile's western edge: the sight is
    // in the next tile to the west, so the hill is written there.
    let hill = tile(|_, column| if (1193..=1195).contains(&column) { 280 } else { 0 });
    project.write("N10E019.hgt", hill);
    let hidden = coverage(&project, &["--terrain", "N10E019.hgt"]);
    assert!(hidden.out.contains("0 of 1 sight filmed"), "{}", hidden.out);
    assert!(hidden.out.contains("the ground stood before it"), "{}", hidden.out);
    let csv = coverage(&project, &["--terrain", "N10E019.hgt", "--format", "csv"]);
    assert!(csv.out.contains("behind ground"));
}

#[test]
fn what_the_ground_says_is_told_with_its_place() {
    let project = Project::new();
    project.edit_tour("rules:\n", "zones:\n  low: {circle: {centre: FAR, radius: 1 km}, \
        band: below 200 m}\n  high: {circle: {centre: FAR, radius: 1 km}, band: 200 m..900 m}\nrules:\n");
    // 220 m high from 9.3 km north of the pad on, the sea before that. The flight is at 300 m there.
    let ground = tile(|row, _| if row > 1100 { 0 } else { 220 });
    project.write("N10E020.hgt", &ground);
    let done = coverage(&project, &["--terrain", "N10E020.hgt"]);
    assert_eq!(done.code, 1, "{}", done.err);
    for told in [
        "band-beneath-ground",
        "zone `low` ends at 656 ft",
        "the ground is 722 ft high",
        "tours/west.yaml:18:3",
        "tours/west.yaml:19:3",
        "floor-in-ground",
        "zone `high` begins at 656 ft",
        "flown-low",
        "262 ft above it",
    ] {
        assert!(done.err.contains(told), "{told}: {}", done.err);
    }
    // A caution about planning; what a pilot has flown is not judged.
    project.write("flight.gpx", crate::project::gpx(0.0));
    let flown =
        project.fulmar(&["coverage", "tours/west.yaml", "flight.gpx", "--terrain", "N10E020.hgt"]);
    assert!(!flown.err.contains("flown-low"), "{}", flown.err);
    for name in ["band-beneath-ground", "floor-in-ground", "flown-low", "elevation-differs"] {
        let page = project.fulmar(&["explain", name]);
        assert!(page.code == 0 && page.out.contains("Why it matters"), "{name}");
    }
}

#[test]
fn files_of_heights_that_are_of_no_use_are_said_to_be() {
    let project = Project::new();
    project.write("N46W034.hgt", tile(|_, _| 5));
    let elsewhere = coverage(&project, &["--terrain", "N46W034.hgt"]);
    assert_eq!(elsewhere.code, 1, "{}", elsewhere.err);
    assert!(elsewhere.err.contains("terrain-elsewhere"), "{}", elsewhere.err);
    assert!(elsewhere.out.contains("no heights of the ground are known"));
    let voids = tile(|_, _| i16::MIN);
    project.write("N10E020.hgt", &voids);
    let voids = coverage(&project, &["--terrain", "N10E020.hgt"]);
    assert!(voids.err.contains("terrain-elsewhere"), "{}", voids.err);

    project.write("short/N10E020.hgt", vec![0; 1000]);
    project.write("pad.hgt", tile(|_, _| 5));
    project.write("broken.tif", b"II*\0\x08\0\0\0\xff\xff");
    project.write("photo.tif", b"no picture at all");
    for name in ["short/N10E020.hgt", "pad.hgt", "broken.tif", "photo.tif", "none.tif", "tours"] {
        let done = coverage(&project, &["--terrain", name]);
        assert_eq!((done.code, done.out.as_str()), (2, ""), "{name}: {}", done.err);
        assert!(done.err.contains(name), "{name}: {}", done.err);
    }
    // One that the tour names is no reason not to go on.
    project.edit_tour("departure:", "terrain: ../short/N10E020.hgt\ndeparture:");
    let named = coverage(&project, &[]);
    assert_eq!(named.code, 1, "{}", named.err);
    assert!(named.err.contains("terrain-missing"), "{}", named.err);
    assert!(named.err.contains("tours/west.yaml:3:10"), "{}", named.err);
    assert!(named.out.contains("1 of 1 sight filmed"), "{}", named.out);
}

fn light(project: &Project, more: &[&str]) -> Done {
    let mut args = vec!["light", "tours/west.yaml", "--planned"];
    args.extend(more);
    project.fulmar(&args)
}

/// Ten degrees north in June the sun passes north of the zenith and sets a little before 17:00 UTC at
/// 20 east. The sight lies in the west of the way out.
#[test]
fn the_light_is_judged_for_the_departures_sold() {
    let project = Project::new();
    let planned = light(&project, &["--format", "json"]);
    assert_eq!(planned.code, 0, "{}", planned.err);
    assert!(planned.err.contains("no-departures"), "{}", planned.err);

    project.edit_tour("wind:", "departures: [\"06:30\", \"15:30\", \"20:00\"]\nwind:");
    let chart = ["--chart", "light.svg", "--format", "json", "--date", "2026-06-21"];
    let sold = light(&project, &chart);
    assert_eq!((sold.code, sold.err.as_str()), (0, "written: light.svg\n"));
    let told: Value = serde_json::from_str(&sold.out).unwrap();
    assert_eq!(told["date"], "2026-06-21");
    let departures = told["departures"].as_array().unwrap();
    let lit: Vec<&str> =
        departures.iter().map(|it| it["sights"][0]["lit"].as_str().unwrap()).collect();
    assert_eq!(lit, ["front-lit", "back-lit", "dark"]);
    assert_eq!(departures[0]["score"], 100.0);
    assert_eq!(departures[2]["score"], 0.0);
    assert!(departures[1]["sights"][0]["sun_elevation_deg"].as_f64().unwrap() > 5.0);
    let svg = project.read("light.svg");
    assert!(
        svg.starts_with("<svg ") && svg.contains("15:30") && svg.contains("not for navigation")
    );
    assert!(!svg.contains("http://") || svg.matches("http://").count() == 1, "only the namespace");

    for wrong in [&["--at", "9:00"][..], &["--at", "25:00"], &["--date", "2026-02-30"]] {
        let done = light(&project, wrong);
        assert_eq!((done.code, done.out.as_str()), (2, ""), "{wrong:?}");
        assert!(done.err.contains(wrong[1]), "{}", done.err);
    }
    let over = light(&project, &["--chart", "tours/west.yaml"]);
    assert_eq!(over.code, 2);
    assert!(over.err.contains("output-is-input"), "{}", over.err);
}

#[test]
fn names_with_markup_are_only_text_in_the_chart() {
    let project = Project::new();
    project.write(
        "library/arch.yaml",
        "library: The arch\nsights:\n  ARCH: {at: \"10.0500N 19.9900E\", elevation: 20 m, name: \
         \"<script>alert('x')</script> & \\\"so\\\"\"}\nzones:\n  arch: {circle: {centre: ARCH, radius: 2 km}}\n",
    );
    let done = light(&project, &["--chart", "light.svg", "--at", "10:30"]);
    assert_eq!(done.code, 0, "{}", done.err);
    let svg = project.read("light.svg");
    assert!(!svg.contains("<script"), "{svg}");
    assert!(svg.contains("&lt;script&gt;"), "{svg}");
}
