//! The names by which a plan knows its authored files.

use route::Sources;

/// The names of all files as seen from the tour's own folder, such as `../library/sights.yaml`.
///
/// So a plan, and with it its digest, is the same wherever the project lies and from whichever
/// folder it is compiled. A name that cannot be told from there (one is absolute and the other is
/// not) stays as it was given.
pub(crate) fn names(sources: &Sources) -> Vec<String> {
    sources.files().iter().map(|file| seen_from_tour(sources, &file.name)).collect()
}

/// The name of one file as seen from the tour's own folder.
pub(crate) fn seen_from_tour(sources: &Sources, name: &str) -> String {
    let tour = sources.files().first().map_or("", |file| &file.name);
    seen_from(tour, name)
}

fn seen_from(tour: &str, name: &str) -> String {
    if tour.starts_with('/') != name.starts_with('/') {
        return name.to_owned();
    }
    let parts = |path: &str| -> Vec<String> {
        path.split('/').filter(|part| !matches!(*part, "" | ".")).map(str::to_owned).collect()
    };
    let (mut folder, name_parts) = (parts(tour), parts(name));
    folder.pop();
    let common = folder.iter().zip(&name_parts).take_while(|(a, b)| a == b).count();
    let up = folder.get(common..).unwrap_or_default();
    if up.iter().any(|part| part == "..") {
        return name.to_owned();
    }
    let down = name_parts.get(common..).unwrap_or_default();
    let seen: Vec<&str> = up.iter().map(|_| "..").chain(down.iter().map(String::as_str)).collect();
    seen.join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_do_not_tell_where_the_project_lies() {
        for (tour, library, seen) in [
            ("tours/west.yaml", "library/sights.yaml", "../library/sights.yaml"),
            ("west.yaml", "../library/sights.yaml", "../library/sights.yaml"),
            ("./tours/west.yaml", "library/sights.yaml", "../library/sights.yaml"),
            ("../r/tours/west.yaml", "../r/library/sights.yaml", "../library/sights.yaml"),
            ("/a/r/tours/west.yaml", "/a/r/library/sights.yaml", "../library/sights.yaml"),
            ("tours/west.yaml", "tours/west.yaml", "west.yaml"),
            ("tours/west.yaml", "tours/more/x.yaml", "more/x.yaml"),
            ("tours/west.yaml", "/a/heron.yaml", "/a/heron.yaml"),
            ("../../west.yaml", "../x.yaml", "../x.yaml"),
        ] {
            assert_eq!(seen_from(tour, library), seen, "{tour} {library}");
        }
    }
}
