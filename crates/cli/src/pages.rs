//! The pages of everything that can be found, from all crates.

mod files;
mod flown;
mod gpx;
mod handed_on;
mod heard;
mod seen;

use diagnostic::Page;

/// All pages, by name.
pub(crate) fn all() -> Vec<&'static Page> {
    let mut pages: Vec<&'static Page> = compiler::pages();
    for more in [
        route::pages(),
        plan::pages(),
        sound::pages(),
        script::pages(),
        film::pages(),
        terrain::pages(),
        preview::pages(),
        seen::PAGES,
        files::PAGES,
        flown::PAGES,
        gpx::PAGES,
        heard::PAGES,
        handed_on::PAGES,
    ] {
        pages.extend(more);
    }
    pages.sort_by_key(|page| page.name);
    pages
}

/// A page of this crate.
macro_rules! page {
    ($name:expr, $severity:ident, $finds:literal, $why:literal, $example:literal, $better:literal $(,)?) => {
        diagnostic::Page {
            name: $name,
            severity: diagnostic::Severity::$severity,
            finds: $finds,
            why: $why,
            example: $example,
            better: $better,
        }
    };
}
use page;

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use diagnostic::Severity;

    use super::*;

    #[test]
    fn every_page_is_whole_and_every_name_is_there_once() {
        let pages = all();
        for page in &pages {
            assert!(page.is_whole(), "{}", page.name);
        }
        for (one, next) in pages.iter().zip(pages.iter().skip(1)) {
            assert_ne!(one.name, next.name);
        }
    }

    #[test]
    fn every_kind_of_thing_found_in_a_recorded_flight_has_its_page() {
        for kind in track::Kind::ALL {
            let pages = all();
            let page = pages.iter().find(|page| page.name == kind.name());
            let note = matches!(kind.class(), track::Class::Accepted);
            let severity = if note { Severity::Note } else { Severity::Warning };
            assert_eq!(page.map(|page| page.severity), Some(severity), "{}", kind.name());
        }
    }

    /// Every quoted word in kebab-case that stands where the name of a finding does.
    fn names_in(text: &str) -> Vec<&str> {
        ["Diagnostic::error(", "Diagnostic::warning(", "Diagnostic::note(", "self.error("]
            .iter()
            .flat_map(|call| text.split(*call).skip(1))
            .filter_map(|rest| rest.trim_start().strip_prefix('"')?.split('"').next())
            .filter(|name| name.contains('-'))
            .collect()
    }

    #[test]
    fn every_finding_of_every_crate_has_its_page() {
        let pages = all();
        let mut folders =
            vec![std::path::PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/.."))];
        let mut names = 0;
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                // The crate of findings itself makes up names in its examples.
                let skipped = ["diagnostic", "tests", "target", "testing.rs"];
                if path.file_name().is_some_and(|name| skipped.iter().any(|skip| name == *skip)) {
                    continue;
                }
                if path.is_dir() {
                    folders.push(path);
                    continue;
                }
                if path.extension().is_none_or(|ending| ending != "rs") {
                    continue;
                }
                let text = std::fs::read_to_string(&path).unwrap();
                let code = text.split("mod tests {").next().unwrap_or_default();
                for name in names_in(code) {
                    names += 1;
                    let page = pages.iter().any(|page| page.name == name);
                    assert!(page, "{name} in {} has no page", path.display());
                }
            }
        }
        assert!(names > 50, "only {names} were found");
    }
}
