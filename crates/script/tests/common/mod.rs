//! A small tour told in two languages, and its script. Everything in it is invented.

#![allow(dead_code, reason = "not every test needs all of it")]

use compiler::PLANNED_EVERY;
use route::{Choice, MemoryWorld, Project, Said};
use script::{Document, Import, Sheet};

pub(crate) const TOUR: &str = r#"tour: Out & back
revision: 3
language: en
other languages: {de: {words per minute: 120}}
departure: 2026-06-01T10:30:00Z
aircraft: a.yaml
waypoints:
  PAD: {at: "10.0000N 20.0000E", elevation: 0 m}
  FAR: {at: "10.2000N 20.0000E"}
sights:
  ARCH: {at: "10.1000N 19.9900E", name: "Tinker's Arch"}
route:
  airspeed: 90 kt
  altitude: 300 m
  legs: [{from: PAD}, {to: FAR}, {land: PAD}]
zones:
  field: {circle: {centre: PAD, radius: 1 km}, quiet: true}
rules:
  hello:
    when: {phase: on the ground}
    narration: hello
  arch:
    when:
      not in: field
      track: 320..040
      before abeam: {sight: ARCH, by: 20 s}
    narration: arch
  back:
    when: {track: 140..220, after: arch}
    narration: back
narrations:
  # said on the ground
  hello: {on the ground: true, text: {en: "Welcome: aboard.", de: Willkommen an Bord.}}
  arch:
    text:
      en: >-
        The arch is high enough for a boat with its mast up.
        So they say.

        Look up.
      de: >-   # noch nicht gesprochen
        Der Bogen ist so hoch, dass ein Boot mit stehendem Mast hindurchpasst. „So sagt man“; mehr
        weiß niemand.
  back: {text: {en: "= And back, \"home\" again.", de: '- Und zurück: nach Hause.'}}
"#;

const AIRCRAFT: &str = "aircraft: A\ncameras: {nose: {input: 1, mount: {bearing: 0}, field of \
                        view: {width: 80 deg}}}\n";

/// The tour as a project.
pub(crate) fn project(tour: &str) -> Project {
    let world = MemoryWorld::new().with("tour.yaml", tour).with("a.yaml", AIRCRAFT);
    let (project, found) = route::read(&world, "tour.yaml", None);
    assert_eq!(found, []);
    project.unwrap()
}

/// Its script in a language.
pub(crate) fn document(tour: &str, language: &str) -> Document {
    let said = Said { value: vec![language.to_owned()], place: diagnostic::Place::whole("a test") };
    let choice = Choice { languages: Some(said), ..Choice::default() };
    let project = route::choose(&project(tour), &choice).unwrap();
    let (plan, found) = compiler::compile(&project);
    let plan = plan.unwrap_or_else(|| panic!("{found:?}"));
    let events = compiler::event_plan(&plan, &plan::Day::default(), PLANNED_EVERY).unwrap();
    let fits = compiler::fit::fit(&project, &plan, &plan::Day::default()).unwrap();
    Document::new(&project, &plan, &events, &fits, plan::digest(&plan).code().as_str(), language)
}

/// What a sheet changes in the tour.
pub(crate) fn import(bytes: &[u8]) -> Import {
    let sheet = Sheet::read(bytes, "s").unwrap_or_else(|finding| panic!("{finding:?}"));
    script::compare(&project(TOUR), &sheet)
}

/// What was found in a sheet, by name.
pub(crate) fn names(import: &Import) -> Vec<&'static str> {
    import.findings.iter().map(|finding| finding.name).collect()
}

/// The cells of a sheet in CSV, read by another reader than ours: RFC 4180 to the letter.
pub(crate) fn cells(csv: &str) -> Vec<Vec<String>> {
    let mut rows = vec![vec![String::new()]];
    let mut quoted = false;
    let mut letters = csv.trim_start_matches('\u{FEFF}').chars().peekable();
    while let Some(c) = letters.next() {
        let row = rows.last_mut().unwrap();
        match c {
            '"' if quoted && letters.peek() == Some(&'"') => {
                letters.next();
                row.last_mut().unwrap().push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => row.push(String::new()),
            '\r' if !quoted => {
                assert_eq!(letters.next(), Some('\n'), "a line ends in CR LF");
                rows.push(vec![String::new()]);
            }
            c => row.last_mut().unwrap().push(c),
        }
    }
    assert_eq!(rows.pop(), Some(vec![String::new()]), "the last line has an end");
    rows
}

/// Cells as a spreadsheet program of another country writes them.
pub(crate) fn separated(cells: &[Vec<String>], separator: &str) -> String {
    let cell = |cell: &String| format!("\"{}\"", cell.replace('"', "\"\""));
    cells
        .iter()
        .map(|row| row.iter().map(cell).collect::<Vec<_>>().join(separator) + "\r\n")
        .collect()
}

/// The place of a column.
pub(crate) fn column(cells: &[Vec<String>], key: &str) -> usize {
    cells[0].iter().position(|cell| cell.trim_matches(['[', ']']) == key).unwrap()
}
