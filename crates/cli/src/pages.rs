//! The pages of everything that can be found, from all crates.

mod files;
mod flown;
mod gpx;

use diagnostic::Page;

/// All pages, by name.
pub(crate) fn all() -> Vec<&'static Page> {
    let mut pages: Vec<&'static Page> = compiler::pages();
    for more in [route::pages(), plan::pages(), files::PAGES, flown::PAGES, gpx::PAGES] {
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
}
