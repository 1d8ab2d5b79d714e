//! A tour compiled, or a compiled plan read: either way a plan that can be flown.

use std::path::Path;

use compiler::Effect;
use diagnostic::{Diagnostic, Place, Severity};
use plan::{Day, Plan};
use route::{Project, Today};

use super::findings::Findings;
use super::world::Disk;
use super::{day, file, project};
use crate::render::identity::Identity;

/// A plan that can be flown.
#[derive(Debug)]
pub(crate) struct Loaded {
    /// The plan.
    pub(crate) plan: Plan,
    /// Which plan it is.
    pub(crate) identity: Identity,
    /// What it was compiled from; none for a compiled plan.
    project: Option<Project>,
}

/// What becomes of a tour today.
pub(crate) struct Against {
    /// Which plan the tour is as written.
    pub(crate) written: Identity,
    /// What is lost and won against that.
    pub(crate) effect: Effect,
}

impl Loaded {
    /// What it was compiled from; none for a compiled plan.
    pub(crate) const fn project(&self) -> Option<&Project> {
        self.project.as_ref()
    }

    /// Reviews the tour as it is flown on a day. What is found is added to the findings; false if
    /// the tour asks for one of them to be an error.
    pub(crate) fn review(&self, day: &Day, findings: &mut Findings) -> bool {
        let Some(project) = &self.project else { return true };
        let found = compiler::review(project, &self.plan, day);
        let sound = found.iter().all(|finding| finding.severity != Severity::Error);
        findings.extend(found);
        sound
    }

    /// Findings that name files as the plan does, from the tour's folder, with the names by which the
    /// files are found from here.
    pub(crate) fn located(&self, findings: Vec<Diagnostic>) -> Vec<Diagnostic> {
        let Some(project) = &self.project else { return findings };
        let files = || self.plan.sources.iter().zip(project.sources.files());
        let here = |mut finding: Diagnostic| {
            if let Some((_, file)) = files().find(|(name, _)| ***name == *finding.place.file) {
                finding.place.file = file.name.clone();
            }
            finding
        };
        findings.into_iter().map(here).collect()
    }

    /// Findings with the names that the plan has for its files, where it has one: the other way round
    /// than [`Self::located`].
    pub(crate) fn as_in_the_plan(&self, findings: Vec<Diagnostic>) -> Vec<Diagnostic> {
        let Some(project) = &self.project else { return findings };
        let files = || self.plan.sources.iter().zip(project.sources.files());
        let named = |mut finding: Diagnostic| {
            if let Some((name, _)) = files().find(|(_, file)| file.name == finding.place.file) {
                finding.place.file = name.as_str().into();
            }
            finding
        };
        findings.into_iter().map(named).collect()
    }

    /// The folder from which the plan names its files, as a URL; none for a compiled plan, which may
    /// lie anywhere.
    pub(crate) fn folder(&self, tour: &Path) -> Option<String> {
        self.project.as_ref()?;
        let tour = std::fs::canonicalize(tour).ok()?;
        Some(format!("file://{}", tour.parent()?.display()))
    }

    /// What is lost and won today against the tour as written; none where nothing differs, or where
    /// the tour as written cannot be flown.
    pub(crate) fn against_written(&self, disk: &Disk, day: &Day) -> Option<Against> {
        let project = self.project.as_ref()?;
        if self.plan.differences.is_empty() && *day == Day::default() {
            return None;
        }
        let tour = &project.sources.files().first()?.name;
        let (written, _) = project::read(disk, tour, None);
        let written = written.filter(|written| written.complete)?;
        let (plan, _) = compiler::compile(&written);
        let plan = plan?;
        let effect = compiler::effect((&written, &plan), (project, &self.plan, day))?;
        Some(Against { written: Identity::new(&plan, plan::digest(&plan).code()), effect })
    }
}

/// What came of a tour or plan.
pub(crate) enum Load {
    /// It can be flown; there may be warnings.
    Ready(Box<Loaded>),
    /// There are mistakes in it, and they have been found.
    Mistakes,
    /// It could not be read at all; why has been said.
    Unusable,
}

/// Reads and compiles a tour, or reads a compiled plan: a file whose name does not end in `.yaml`
/// or `.yml` and that begins with `{` is a plan.
pub(crate) fn load(path: &Path, today: &Today, findings: &mut Findings) -> Load {
    load_from(&Disk::default(), path, today, findings)
}

/// [`load`], from files that others read too.
pub(crate) fn load_from(disk: &Disk, path: &Path, today: &Today, findings: &mut Findings) -> Load {
    let bytes = match disk.bytes(path, "a tour or a compiled plan") {
        Ok(bytes) => bytes,
        Err(finding) => {
            findings.push(*finding);
            return Load::Unusable;
        }
    };
    let yaml = path.extension().is_some_and(|ending| ending == "yaml" || ending == "yml");
    // Some editors put a byte order mark before the text.
    let text = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(&bytes);
    let first = text.iter().copied().find(|byte| !byte.is_ascii_whitespace());
    if first == Some(b'<') || bytes.starts_with(&[0x1f, 0x8b]) {
        findings.push(
            Diagnostic::error(
                "not-a-tour",
                Place::whole(file::name(path)),
                "this is no tour and no compiled plan; it looks like a recorded flight",
            )
            .help("name the tour or plan first, then the flight"),
        );
        return Load::Unusable;
    }
    if yaml || first != Some(b'{') {
        return tour(disk, path, today, findings);
    }
    let held = held(today);
    if !held.is_empty() {
        findings.extend(held);
        return Load::Unusable;
    }
    match plan::read(&bytes, &file::name(path)) {
        Ok(plan) => ready(plan, None),
        Err(finding) => {
            if let Ok(text) = String::from_utf8(bytes) {
                findings.texts.insert(file::name(path).into(), text.into());
            }
            findings.push(finding);
            Load::Unusable
        }
    }
}

fn ready(plan: Plan, project: Option<Project>) -> Load {
    let identity = Identity::new(&plan, plan::digest(&plan).code());
    Load::Ready(Box::new(Loaded { plan, identity, project }))
}

/// What is chosen for today that a compiled plan holds, a finding each.
fn held(today: &Today) -> Vec<Diagnostic> {
    let choice = &today.choice;
    let place = |said: Option<&Place>, what| said.cloned().map(|place| (place, what));
    [
        place(today.aircraft.as_ref().map(|it| &it.place), "aircraft"),
        place(choice.variant.as_ref().map(|it| &it.place), "variant"),
        place(choice.languages.as_ref().map(|it| &it.place), "language"),
        place(choice.altitude.as_ref().map(|it| &it.place), "altitude"),
        place(choice.not_above.as_ref().map(|it| &it.place), "greatest altitude"),
        place(choice.departure.as_ref().map(|it| &it.place), "departure"),
    ]
    .into_iter()
    .flatten()
    .map(|(place, what)| {
        Diagnostic::error(
            "plan-is-compiled",
            place,
            format!("a compiled plan holds its {what}, so no other can be chosen"),
        )
        .help("compile the tour again so: `fulmar plan TOUR --output FILE` with the same option")
    })
    .collect()
}

fn tour(disk: &Disk, path: &Path, today: &Today, findings: &mut Findings) -> Load {
    // A plan names its files as seen from the tour's folder. That can be told where both are
    // absolute or neither is.
    let aircraft = today.aircraft.as_ref().map(|said| Path::new(&said.value));
    let mixed = aircraft.is_some_and(|aircraft| aircraft.is_absolute() != path.is_absolute());
    let name = |path: &Path| match std::path::absolute(path) {
        Ok(absolute) if mixed => file::name(&absolute),
        _ => file::name(path),
    };
    if let Some(said) = &today.aircraft
        && let Err(missing) = disk.bytes(Path::new(&said.value), "an aircraft file")
    {
        findings.push(*missing);
        return Load::Unusable;
    }
    let (tour, aircraft) = (name(path), aircraft.map(name));
    let (project, found) = project::read(disk, &tour, aircraft.as_deref());
    findings.extend(found);
    let Some(project) = project else {
        quote(disk, findings);
        return Load::Unusable;
    };
    for source in project.sources.files() {
        findings.texts.insert(source.name.clone(), source.text.clone());
    }
    let project = match route::choose(&project, &today.choice) {
        Ok(project) => project,
        Err(found) => {
            // What the day says of cameras is looked at too: all mistakes come out at once.
            findings.extend(day::unknown_cameras(today, &project));
            findings.extend(found);
            return Load::Unusable;
        }
    };
    let (plan, found) = compiler::compile(&project);
    findings.extend(found);
    match plan {
        // There is none where anything in this tour is an error; what was found in others is theirs.
        Some(plan) => ready(plan, Some(project)),
        None => Load::Mistakes,
    }
}

/// Looks up the files that findings point into, so that they can be quoted: where a tour could
/// not be read at all, there is no project that holds the texts.
fn quote(disk: &Disk, findings: &mut Findings) {
    for finding in &findings.list {
        let places = finding.related.iter().map(|related| &related.place);
        for place in places.chain([&finding.place]) {
            if place.line == 0 || findings.texts.contains_key(&place.file) {
                continue;
            }
            let Ok(bytes) = disk.bytes(Path::new(&*place.file), "a file") else { continue };
            if let Ok(text) = String::from_utf8(bytes) {
                findings.texts.insert(place.file.clone(), text.into());
            }
        }
    }
}
