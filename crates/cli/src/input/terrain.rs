//! The heights of the ground.

use std::path::Path;

use diagnostic::{Diagnostic, Place};
use terrain::{Grid, Terrain};

use super::file;
use super::findings::Findings;
use super::tour::Loaded;
use crate::args::TerrainArgs;

/// No file of heights is larger, in bytes.
const LARGEST: u64 = 1 << 30;

/// The ground as the files given say it, else those that the tour names. A file of the tour that is
/// not there, or cannot be used, is a warning, since all else works without it; of one that is given
/// on the command line it is an error.
pub(crate) fn read(args: &TerrainArgs, loaded: &Loaded, findings: &mut Findings) -> Terrain {
    let mut grids = Vec::new();
    if !args.terrain.is_empty() {
        for path in &args.terrain {
            match one(path) {
                Ok(grid) => grids.push(grid),
                Err(finding) => findings.push(*finding),
            }
        }
        return Terrain::new(grids);
    }
    let Some(project) = loaded.project() else { return Terrain::default() };
    for named in &project.terrain {
        match one(Path::new(&named.value)) {
            Ok(grid) => grids.push(grid),
            Err(finding) => {
                let place = project.sources.place(named.span);
                let what = &finding.headline;
                let headline = format!("the ground stays unknown: {}: {what}", named.value);
                findings.push(
                    Diagnostic::warning("terrain-missing", place, headline)
                        .help("mend or fetch the file, or take it out; all else works without it"),
                );
            }
        }
    }
    Terrain::new(grids)
}

fn one(path: &Path) -> Result<Grid, Box<Diagnostic>> {
    let name = file::name(path);
    let size = std::fs::metadata(path).map_or(0, |about| about.len());
    if size > LARGEST {
        let headline = "it is larger than 1 GiB";
        let finding = Diagnostic::error("terrain-unusable", Place::whole(name), headline);
        return Err(Box::new(finding.help("cut out the part around the tour")));
    }
    let bytes = file::read_up_to(path, "a file of heights", LARGEST)?;
    terrain::read(&name, &bytes)
}
