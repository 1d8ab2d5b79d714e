//! Reading a tour with all its files.

use std::collections::BTreeSet;

use diagnostic::{Diagnostic, Edit, Place, Severity, sort};

use crate::bounds;
use crate::choose::{self, Choice, Chosen, Said, Today};
use crate::decode::{Reader, Reads, near, of};
use crate::keys::{AircraftFile, Contents, LibraryFile, TodayFile, TourFile};
use crate::model::{Aircraft, Project, Table};
use crate::remedy;
use crate::span::{FileId, Name, SourceFile, Sources, Span, Spanned};
use crate::world::World;
use crate::yaml::{self, Node, NodeKind, Pair};

/// Reads the tour at `tour`, its aircraft (the one at `aircraft` instead of the tour's own, if
/// given) and all libraries.
///
/// All mistakes of all files come out at once, sorted by place. A project comes out with mistakes
/// too, as far as it could be read, so that others can look for further mistakes in it;
/// [`Project::complete`] says whether it is whole. There is none if the tour itself could not be
/// read at all.
#[must_use]
pub fn read(
    world: &dyn World,
    tour: &str,
    aircraft: Option<&str>,
) -> (Option<Project>, Vec<Diagnostic>) {
    let mut loader = Loader::new(world);
    let project = loader.project(tour, aircraft);
    let Loader { sources, mut findings, names_lost, .. } = loader;
    sort(&mut findings);
    let mistakes: Vec<Span> = mistakes(&sources, &findings);
    let complete = findings.iter().all(|finding| finding.severity != Severity::Error);
    let whole = |project| Project { sources, complete, mistakes, names_lost, ..project };
    (project.map(whole), findings)
}

/// Where the errors among findings are.
fn mistakes(sources: &Sources, findings: &[Diagnostic]) -> Vec<Span> {
    let errors = findings.iter().filter(|finding| finding.severity == Severity::Error);
    errors
        .filter_map(|finding| {
            let name = &finding.place.file;
            let file = sources.files().iter().position(|file| file.name == *name)?;
            let (start, end) = finding.place.bytes;
            Some(Span { file: FileId(u32::try_from(file).ok()?), start, end })
        })
        .collect()
}

/// Reads what is said for a day from the file at `path`. It comes out as far as it could be read.
#[must_use]
pub fn read_today(world: &dyn World, path: &str) -> (Option<Today>, Sources, Vec<Diagnostic>) {
    let mut loader = Loader::new(world);
    let today = loader.today(path);
    let Loader { sources, mut findings, .. } = loader;
    sort(&mut findings);
    (today, sources, findings)
}

/// What a file says it is, by its first key.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Tour,
    Today,
    Aircraft,
    Library,
}

impl Kind {
    /// A tour and a file for the day may have an `aircraft` key too, so they come first.
    const ALL: [Self; 4] = [Self::Tour, Self::Today, Self::Aircraft, Self::Library];

    /// The key that makes a file one of these.
    const fn key(self) -> &'static str {
        match self {
            Self::Tour => "tour",
            Self::Today => "today",
            Self::Aircraft => "aircraft",
            Self::Library => "library",
        }
    }
}

struct Loader<'w> {
    world: &'w dyn World,
    sources: Sources,
    findings: Vec<Diagnostic>,
    /// Every library that was begun: its path, who named it, and whether it is being read now.
    open: Vec<Begun>,
    /// Whether a library, or a part of a file that gives names, could not be read at all.
    names_lost: bool,
}

struct Begun {
    path: String,
    named_at: Span,
    reading: bool,
    has_rules: bool,
}

/// The tables of a file and all it includes, in order.
#[derive(Default)]
struct Tables {
    waypoints: Table<crate::model::Waypoint>,
    sights: Table<crate::model::Sight>,
    landing_sites: Table<crate::model::LandingSite>,
    zones: Table<crate::model::Zone>,
    rules: Table<crate::model::Rule>,
    narrations: Table<crate::model::Narration>,
    music: Table<crate::model::Music>,
    titles: Table<crate::model::Title>,
}

impl<'w> Loader<'w> {
    fn new(world: &'w dyn World) -> Self {
        Self {
            world,
            sources: Sources::new(),
            findings: Vec::new(),
            open: Vec::new(),
            names_lost: false,
        }
    }

    fn today(&mut self, path: &str) -> Option<Today> {
        let (id, node) = self.tree(path, None, Kind::Today)?;
        let today: TodayFile = self.decode(of::<TodayFile>(), id, &node)?;
        let aircraft = today.aircraft.and_then(|named| {
            let place = self.sources.place(named.span);
            Some(Said { value: self.resolve(path, &named)?, place })
        });
        let names = |names: Vec<Spanned<Name>>| {
            names.into_iter().map(|name| self.said(name.map(|name| name.to_string()))).collect()
        };
        Some(Today {
            aircraft,
            wind: today.wind.map(|wind| self.said(wind)),
            out_of_service: names(today.out_of_service),
            not_allowed: names(today.not_allowed),
            choice: Choice {
                variant: today.variant.map(|name| self.said(name.map(|name| name.to_string()))),
                languages: today.language.map(|languages| {
                    let tags = |list: Vec<Spanned<String>>| {
                        list.into_iter().map(|tag| tag.value).collect()
                    };
                    self.said(languages.map(tags))
                }),
                altitude: today.altitude.map(|altitude| self.said(altitude)),
                not_above: today.not_above.map(|altitude| self.said(altitude)),
                departure: today.departure.map(|departure| self.said(departure)),
            },
        })
    }

    fn said<T>(&self, written: Spanned<T>) -> Said<T> {
        Said { value: written.value, place: self.sources.place(written.span) }
    }

    fn project(&mut self, path: &str, aircraft: Option<&str>) -> Option<Project> {
        let (id, node) = self.tree(path, None, Kind::Tour)?;
        let tour: TourFile = self.decode(of::<TourFile>(), id, &node)?;
        self.names_lost |= self.has_strange_part(id, &node);
        let own = tour.aircraft.as_ref().and_then(|own| self.world.resolve(path, &own.value).ok());
        let swapped = aircraft.filter(|given| own.as_deref() != Some(*given));
        let aircraft = self.aircraft(path, &node, tour.aircraft.as_ref(), aircraft);
        let mut chosen = Chosen::default();
        if let (Some(_), Some(aircraft)) = (swapped, &aircraft) {
            chosen.differences.push(format!("aircraft {}", aircraft.model.value));
        }
        let other_aircraft = self.other_aircraft(path, &tour.other_aircraft);
        let terrain = self.paths(path, tour.terrain);
        let map = crate::model::Map { shapes: self.paths(path, tour.map.shapes), ..tour.map };
        let tables = self.tables(path, tour.contents);
        let departure = tour.departure.unwrap_or_else(|| Spanned {
            value: (earth::Utc(0), earth::Millis(0)),
            span: node.pair("departure").map_or(node.head, Pair::span),
        });
        let project = Project {
            sources: Sources::new(),
            complete: false,
            mistakes: Vec::new(),
            names_lost: false,
            title: tour.title.unwrap_or_else(|| Spanned { value: String::new(), span: node.head }),
            revision: tour.revision.unwrap_or(Spanned { value: 1, span: node.head }),
            status: tour.status,
            language: tour.languages.first().map(|first| first.value.clone()).unwrap_or_default(),
            carried: tour.languages,
            other_languages: tour.other_languages,
            chosen,
            departure: Spanned { value: departure.value.0, span: departure.span },
            utc_offset: departure.value.1,
            departures: tour.departures,
            must_have: tour.must_have,
            into_lens: tour.into_lens,
            terrain,
            map,
            wind: tour.wind,
            winds_expected: tour.winds_expected,
            airspeed_tolerance: tour.airspeed_tolerance,
            defaults: tour.defaults,
            mix: tour.mix,
            checks: tour.checks,
            aircraft,
            other_aircraft,
            waypoints: tables.waypoints,
            sights: tables.sights,
            landing_sites: tables.landing_sites,
            route: tour.route.unwrap_or_else(|| crate::model::Route {
                settings: crate::model::LegSettings::default(),
                legs: Vec::new(),
                not_above: None,
                span: node.head,
            }),
            variants: tour.variants,
            zones: tables.zones,
            rules: tables.rules,
            narrations: tables.narrations,
            music: tables.music,
            titles: tables.titles,
            recordings: None,
            unusable_recordings: BTreeSet::new(),
        };
        self.findings.extend(choose::carried(&project, &self.sources));
        Some(project)
    }

    fn aircraft(
        &mut self,
        tour_path: &str,
        tour: &Node,
        named: Option<&Spanned<String>>,
        given: Option<&str>,
    ) -> Option<Aircraft> {
        let (path, named_at) = match (given, named) {
            (Some(given), _) => (given.to_owned(), None),
            (None, Some(named)) => (self.resolve(tour_path, named)?, Some(named.span)),
            (None, None) => {
                if tour.pair("aircraft").is_none() {
                    let place = self.sources.place(tour.head);
                    self.findings.push(
                        Diagnostic::error("no-aircraft", place, "the tour names no aircraft")
                            .help("add `aircraft:` with the path of an aircraft file, or give one"),
                    );
                }
                return None;
            }
        };
        let (id, node) = self.tree(&path, named_at, Kind::Aircraft)?;
        self.decode(of::<AircraftFile>(), id, &node).map(|AircraftFile(aircraft)| aircraft)
    }

    /// The paths of other aircraft that can be read.
    fn other_aircraft(&mut self, from: &str, named: &[Spanned<String>]) -> Vec<Spanned<String>> {
        let mut paths = Vec::new();
        for named in named {
            let Some(path) = self.resolve(from, named) else { continue };
            if let Err(error) = self.world.read(&path) {
                let place = self.sources.place(named.span);
                let headline = format!("`{path}` cannot be read: {error}");
                self.findings.push(
                    Diagnostic::error("file-unreadable", place, headline)
                        .help("see whether the path is right"),
                );
                continue;
            }
            paths.push(Spanned { value: path, span: named.span });
        }
        paths
    }

    /// The tables of a file with those of its libraries where its `include` stands.
    fn tables(&mut self, path: &str, mut contents: Contents) -> Tables {
        self.names_lost |= contents.names_lost;
        self.recordings(path, &mut contents);
        let included = self.libraries(path, &contents.include);
        let include_at = contents.include_at.map(|span| span.start);
        let mut tables = Tables::default();
        macro_rules! merge {
            ($($table:ident),*) => {$(
                let (own, own_at) = match contents.$table {
                    Some(own) => (own.value, own.span.start),
                    None => (Table::default(), 0),
                };
                if include_at.is_some_and(|at| at < own_at) {
                    tables.$table.append(included.$table);
                    tables.$table.append(own);
                } else {
                    tables.$table.append(own);
                    tables.$table.append(included.$table);
                }
            )*};
        }
        merge!(waypoints, sights, landing_sites, zones, rules, narrations, music, titles);
        tables
    }

    /// Puts the path as the world knows it in the place of each recording's path as written. One
    /// that there cannot be is reported, and the text then has no recording.
    fn recordings(&mut self, from: &str, contents: &mut Contents) {
        let narrations = contents.narrations.iter_mut().flat_map(|table| &mut table.value.entries);
        for narration in narrations {
            let short = narration.value.short.iter_mut().map(|short| &mut short.value);
            for version in std::iter::once(&mut narration.value.told).chain(short) {
                let whole = match &mut version.audio {
                    Some(audio) => audio.values_mut().all(|path| self.recording(from, path)),
                    None => true,
                };
                if !whole {
                    version.audio = None;
                }
            }
        }
        let pieces = contents.music.iter_mut().flat_map(|table| &mut table.value.entries);
        for piece in pieces {
            let whole = piece.value.audio.as_mut().is_none_or(|audio| self.recording(from, audio));
            if !whole {
                piece.value.audio = None;
            }
        }
    }

    /// Files by the paths that the world knows them by; one that there cannot be is reported.
    fn paths(&mut self, from: &str, named: Vec<Spanned<String>>) -> Vec<Spanned<String>> {
        let resolved = |named: Spanned<String>| {
            let value = self.resolve(from, &named)?;
            Some(Spanned { value, span: named.span })
        };
        named.into_iter().filter_map(resolved).collect()
    }

    fn recording(&mut self, from: &str, named: &mut Spanned<String>) -> bool {
        let resolved = self.resolve(from, named);
        if let Some(path) = &resolved {
            named.value.clone_from(path);
        }
        resolved.is_some()
    }

    fn libraries(&mut self, from: &str, include: &[Spanned<String>]) -> Tables {
        let mut all = Tables::default();
        for named in include {
            let Some(path) = self.resolve(from, named) else {
                self.names_lost = true;
                continue;
            };
            if let Some(begun) = self.open.iter().find(|begun| begun.path == path) {
                let (first, reading, has_rules) = (begun.named_at, begun.reading, begun.has_rules);
                self.again(named, first, reading, has_rules);
                continue;
            }
            let Some(tables) = self.library(path, named.span) else { continue };
            all.waypoints.append(tables.waypoints);
            all.sights.append(tables.sights);
            all.landing_sites.append(tables.landing_sites);
            all.zones.append(tables.zones);
            all.rules.append(tables.rules);
            all.narrations.append(tables.narrations);
            all.music.append(tables.music);
            all.titles.append(tables.titles);
        }
        all
    }

    fn library(&mut self, path: String, named_at: Span) -> Option<Tables> {
        let at = self.open.len();
        self.open.push(Begun { path: path.clone(), named_at, reading: true, has_rules: false });
        let tables = self.tree(&path, Some(named_at), Kind::Library).and_then(|(id, node)| {
            let library: LibraryFile = self.decode(of::<LibraryFile>(), id, &node)?;
            self.names_lost |= self.has_strange_part(id, &node);
            Some(self.tables(&path, library.contents))
        });
        self.names_lost |= tables.is_none();
        if let Some(begun) = self.open.get_mut(at) {
            begun.reading = false;
            begun.has_rules =
                tables.as_ref().is_some_and(|tables| !tables.rules.entries.is_empty());
        }
        tables
    }

    /// A library that was named before. Sights and zones are the same wherever they are named; of
    /// rules the order matters, so it must be clear.
    fn again(&mut self, named: &Spanned<String>, first: Span, reading: bool, has_rules: bool) {
        let place = self.sources.place(named.span);
        if reading {
            self.findings.push(
                Diagnostic::error(
                    "include-circle",
                    place,
                    format!("`{}` includes itself by way of this", named.value),
                )
                .related(self.sources.place(first), "it is included here")
                .help("take one of the two out"),
            );
        } else if first.file == named.span.file || has_rules {
            self.findings.push(
                Diagnostic::warning(
                    "included-twice",
                    place,
                    format!(
                        "`{}` is included twice; it stands where it is named first",
                        named.value
                    ),
                )
                .related(self.sources.place(first), "first here")
                .help("take one of the two out"),
            );
        }
    }

    fn resolve(&mut self, from: &str, named: &Spanned<String>) -> Option<String> {
        match self.world.resolve(from, &named.value) {
            Ok(path) => Some(path),
            Err(error) => {
                let place = self.sources.place(named.span);
                let headline = format!("`{}` cannot be reached: {error}", named.value);
                self.findings.push(
                    Diagnostic::error("file-unreadable", place, headline)
                        .help("write the path relative to this file, inside the project's folder"),
                );
                None
            }
        }
    }

    fn decode<R: Reads>(&mut self, reads: R, id: FileId, node: &Node) -> Option<R::Out> {
        let file = self.sources.file(id)?;
        // The cap on findings is for each file.
        let mut own = Vec::new();
        let out = reads.read(node, &mut Reader::new(file, id, &mut own));
        self.findings.append(&mut own);
        out
    }

    /// Whether a file has a part under a key that cannot stand in it and that is not like one that
    /// can: names may be given there.
    fn has_strange_part(&self, id: FileId, node: &Node) -> bool {
        let (NodeKind::Map(pairs), Some(file)) = (&node.kind, self.sources.file(id)) else {
            return false;
        };
        let strange = |pair: &&Pair| {
            let at = file.place(pair.key_span);
            self.findings.iter().any(|found| found.name == "unknown-key" && found.place == at)
        };
        let like = |pair: &Pair| near(&pair.key, Contents::TABLES).is_some();
        pairs.iter().filter(strange).any(|pair| !like(pair))
    }

    /// Reads a file as YAML, and sees that it is what it is named as.
    fn tree(&mut self, path: &str, named_at: Option<Span>, kind: Kind) -> Option<(FileId, Node)> {
        let text = self.text(path, named_at)?;
        let id = self.sources.add(SourceFile::new(path, text));
        let file = self.sources.file(id)?;
        let mut own = Vec::new();
        let node = yaml::parse(id, file, &mut own);
        let failed = own.iter().any(|finding| finding.severity == Severity::Error);
        self.findings.append(&mut own);
        let key = kind.key();
        let Some(node) = node else {
            if !failed {
                self.empty(path, key);
            }
            return None;
        };
        match &node.kind {
            NodeKind::Nothing => {
                if !failed {
                    self.empty(path, key);
                }
                None
            }
            NodeKind::Map(pairs) => {
                let has = |key: &str| pairs.iter().any(|pair| pair.key == key);
                let is = Kind::ALL.into_iter().find(|other| has(other.key()));
                if is != Some(kind) && is.is_some() {
                    let found = is.map_or("", Kind::key);
                    let place = file.place(pairs.first().map_or(node.head, |pair| pair.key_span));
                    let place = named_at.map_or(place, |span| self.sources.place(span));
                    self.findings.push(
                        Diagnostic::error(
                            "wrong-file",
                            place,
                            format!("`{path}` is of kind `{found}`, but `{key}` is needed here"),
                        )
                        .help(format!("name a file that has `{key}:` at its top")),
                    );
                    return None;
                }
                Some((id, node))
            }
            _ => {
                let place = file.place(node.head);
                self.findings.push(
                    Diagnostic::error(
                        "wrong-kind",
                        place,
                        format!("a file of keys is needed, not {}", node.words()),
                    )
                    .help(format!("begin with `{key}: …`")),
                );
                None
            }
        }
    }

    /// The file that can only be meant by a path named at `span`, and the change that names it.
    fn meant(&self, path: &str, span: Span) -> Option<(String, Option<Edit>)> {
        let name = path.rsplit('/').next()?;
        let meant = remedy::file_name(name, &self.world.beside(path))?.to_owned();
        let written = self.sources.text(span).trim_matches(['"', '\'']);
        let better = format!("{}{meant}", written.strip_suffix(name)?);
        Some((meant, self.sources.instead(span, written, &better)))
    }

    fn empty(&mut self, path: &str, key: &str) {
        self.findings.push(
            Diagnostic::error("file-empty", Place::whole(path), "the file is empty")
                .help(format!("begin with `{key}: …`")),
        );
    }

    fn text(&mut self, path: &str, named_at: Option<Span>) -> Option<String> {
        let place = named_at.map_or_else(|| Place::whole(path), |span| self.sources.place(span));
        let unreadable = |why: &str, help: &str| {
            Diagnostic::error("file-unreadable", place.clone(), format!("`{path}` {why}"))
                .help(help)
        };
        if self.sources.files().len() >= bounds::FILES {
            let why = format!("is one file too many: a project has at most {}", bounds::FILES);
            self.findings.push(unreadable(&why, "join some libraries"));
            return None;
        }
        let bytes = match self.world.read(path) {
            Ok(bytes) => bytes,
            Err(error) => {
                let why = format!("cannot be read: {error}");
                let meant = named_at.and_then(|span| self.meant(path, span));
                let finding = match meant {
                    Some((name, edit)) => {
                        let help = format!("`{name}` is there and is probably meant");
                        unreadable(&why, &help).edits(edit)
                    }
                    None => unreadable(&why, "see whether the path is right"),
                };
                self.findings.push(finding);
                return None;
            }
        };
        if bytes.len() > bounds::FILE_BYTES {
            let why = format!("is larger than {} MiB", bounds::FILE_BYTES >> 20);
            let help = "this is hardly a file of a project; split it if it is";
            self.findings.push(
                Diagnostic::error("file-too-large", place, format!("`{path}` {why}")).help(help),
            );
            return None;
        }
        match String::from_utf8(bytes) {
            Ok(text) => Some(text),
            Err(error) => {
                let good = error.utf8_error().valid_up_to();
                let shown = String::from_utf8_lossy(error.as_bytes());
                let place = Place::in_text(path, &shown, good, good + 1);
                self.findings.push(
                    Diagnostic::error("not-utf-8", place, "a byte here is not UTF-8 text")
                        .help("save the file as UTF-8"),
                );
                None
            }
        }
    }
}
