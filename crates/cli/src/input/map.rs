//! What is drawn beneath a flight.

use std::path::Path;

use diagnostic::{Diagnostic, Place};
use preview::{Map, Shape};

use super::file;
use super::findings::Findings;
use super::tour::Loaded;
use crate::args::PageArgs;

/// The map as the command line says it, else as the tour does. A file of the tour that is not there,
/// or cannot be used, is a warning, since all else works without it; of one that is given on the
/// command line it is an error.
pub(crate) fn read(args: &PageArgs, loaded: &Loaded, findings: &mut Findings) -> Map {
    let mut shapes = Vec::new();
    for path in &args.shapes {
        match one(path) {
            Ok(read) => shapes.extend(read),
            Err(finding) => findings.push(*finding),
        }
    }
    let project = loaded.project();
    if args.shapes.is_empty()
        && let Some(project) = project
    {
        for named in &project.map.shapes {
            match one(Path::new(&named.value)) {
                Ok(read) => shapes.extend(read),
                Err(finding) => {
                    let place = project.sources.place(named.span);
                    let headline =
                        format!("nothing of {} is drawn: {}", named.value, finding.headline);
                    findings.push(
                        Diagnostic::warning("shapes-missing", place, headline).help(
                            "mend or fetch the file, or take it out; all else works without it",
                        ),
                    );
                }
            }
        }
    }
    let written = project.map(|project| &project.map);
    let said = |given: &Option<String>, written: Option<String>| given.clone().or(written);
    let tiles = written.and_then(|map| Some(map.tiles.as_ref()?.value.clone()));
    let attribution = written.and_then(|map| Some(map.attribution.as_ref()?.value.clone()));
    let tiles = said(&args.tiles, tiles).filter(|tiles| {
        let whole = ["{z}", "{x}", "{y}"].iter().all(|part| tiles.contains(part));
        let good = whole && preview::origin(tiles).is_some();
        if !good {
            let headline = format!("`{tiles}` is no address of map tiles");
            findings.push(
                Diagnostic::error("tiles-unusable", Place::whole("the map's tiles"), headline)
                    .help("give one such as https://tiles.example/{z}/{x}/{y}.png"),
            );
        }
        good
    });
    Map { shapes, tiles, attribution: said(&args.attribution, attribution) }
}

fn one(path: &Path) -> Result<Vec<Shape>, Box<Diagnostic>> {
    let name = file::name(path);
    let bytes = file::read(path, "a file of shapes (GeoJSON)")?;
    let text = String::from_utf8(bytes).map_err(|_| {
        let headline = "the map's shapes cannot be read: it is not text in UTF-8";
        let found = Diagnostic::error("shapes-unusable", Place::whole(&*name), headline);
        Box::new(found.help("give a GeoJSON file"))
    })?;
    preview::read_shapes(&name, &text)
}
