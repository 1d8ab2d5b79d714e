//! The light at the departures that are sold: a table, JSON, and a chart.

use std::fmt::Write as _;
use std::io::{self, Write};

use ::coverage::Coverage;
use ::coverage::light::{OnSight, SightLight};
use earth::sun::rise_and_set;
use earth::{Millis, Utc};
use plan::{PlaceId, Plan};
use serde_json::{Value, json};

use super::identity::{Identity, NOT_FOR_NAVIGATION};
use super::table::Table;
use super::time::UtcText;
use super::wire::LIGHT;
use super::words;

/// A departure with the light of its flight.
pub(crate) struct Departure {
    /// The local time, after midnight.
    time: Millis,
    lights: Vec<SightLight>,
    /// From 0 to 100; none where no camera has any sight.
    sum: Option<f64>,
}

impl Departure {
    /// With the light on the sights that any camera has; in the sum a must-have counts twice.
    pub(crate) fn new(time: Millis, lights: Vec<SightLight>, coverage: &Coverage) -> Self {
        let must = |place: PlaceId| {
            let seen = coverage.sights.iter().find(|seen| seen.place == place);
            seen.is_some_and(|seen| seen.wanted.must_have)
        };
        let weight = |light: &SightLight| if must(light.place) { 2.0 } else { 1.0 };
        let whole: f64 = lights.iter().map(weight).sum();
        let sum: f64 = lights.iter().map(|light| weight(light) * f64::from(light.score)).sum();
        let sum = (whole > 0.0).then(|| sum / whole);
        Self { time, lights, sum }
    }

    fn of(&self, place: PlaceId) -> Option<&SightLight> {
        self.lights.iter().find(|light| light.place == place)
    }
}

/// The light on a day.
pub(crate) struct Page<'a> {
    /// Which plan.
    pub(crate) identity: &'a Identity,
    /// The plan.
    pub(crate) plan: &'a Plan,
    /// The day in words.
    pub(crate) day: &'a str,
    /// The beginning of the local day.
    pub(crate) midnight: Utc,
    /// What the cameras see.
    pub(crate) coverage: &'a Coverage,
    /// The departures, in the order given.
    pub(crate) departures: &'a [Departure],
}

impl Page<'_> {
    /// The sights that a camera has at any time.
    fn sights(&self) -> impl Iterator<Item = (PlaceId, &str, bool)> {
        self.coverage.sights.iter().filter(|seen| seen.best.is_some()).filter_map(|seen| {
            let place = self.plan.places.get(seen.place.index())?;
            Some((seen.place, place.title.as_str(), seen.wanted.must_have))
        })
    }

    fn local_day(&self) -> String {
        (self.midnight + self.plan.route.utc_offset).day()
    }

    /// When the sun rises and sets at home on this day, local time.
    fn sun(&self) -> (Option<String>, Option<String>) {
        let home = self.plan.places.get(self.plan.route.home.index());
        let Some(home) = home else { return (None, None) };
        let (rise, set) = rise_and_set(self.midnight, home.position);
        let local = |time: Utc| (time - self.midnight).clock();
        (rise.map(local), set.map(local))
    }

    fn sun_words(&self) -> String {
        match self.sun() {
            (Some(rise), Some(set)) => format!("sun from {rise} to {set} local time"),
            (Some(rise), None) => format!("sun from {rise} local time on; it does not set"),
            (None, Some(set)) => format!("sun until {set} local time; it does not rise"),
            (None, None) => "the sun neither rises nor sets on this day".to_owned(),
        }
    }

    /// Those whose name begins the list are best.
    fn best(&self) -> Option<&Departure> {
        let known = self.departures.iter().filter(|it| it.sum.is_some());
        known.max_by(|one, other| {
            let sum = |it: &Departure| it.sum.unwrap_or(0.0);
            sum(one).total_cmp(&sum(other)).then(other.time.cmp(&one.time))
        })
    }
}

/// How a sight is lit, in a word.
pub(crate) const fn lit(on_sight: OnSight) -> &'static str {
    match on_sight {
        OnSight::Front => "front-lit",
        OnSight::Side => "side-lit",
        OnSight::Back => "back-lit",
        OnSight::Dark => "dark",
    }
}

/// Prints a line for each sight, a column for each departure.
pub(crate) fn text(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    writeln!(out, "{}", page.identity.head())?;
    if !page.day.is_empty() {
        writeln!(out, "today: {}", page.day)?;
    }
    writeln!(out, "light on {}; {}\n", page.local_day(), page.sun_words())?;
    let clocks: Vec<String> = page.departures.iter().map(|it| it.time.clock()).collect();
    let mut head = vec!["sight", "must-have"];
    head.extend(clocks.iter().map(String::as_str));
    let mut table = Table::new(&head);
    for (place, title, must_have) in page.sights() {
        let mut row = vec![title.to_owned(), if must_have { "yes" } else { "" }.to_owned()];
        row.extend(page.departures.iter().map(|departure| match departure.of(place) {
            None => String::new(),
            Some(light) => {
                let lens = if light.into_lens > Millis::ZERO {
                    format!(", {:.0} s in lens", light.into_lens.secs())
                } else {
                    String::new()
                };
                format!("{} {}{lens}", light.score, lit(light.on_sight))
            }
        }));
        table.row(row);
    }
    let mut sums = vec!["in sum".to_owned(), String::new()];
    let sum = |departure: &Departure| {
        departure.sum.map_or_else(|| "no sight in view".to_owned(), |sum| format!("{sum:.0}"))
    };
    sums.extend(page.departures.iter().map(sum));
    table.row(sums);
    table.print(out, "")?;
    if let (Some(best), true) = (page.best(), page.departures.len() > 1) {
        writeln!(out, "\nbest light: {}", best.time.clock())?;
    }
    Ok(())
}

/// The same for programs.
pub(crate) fn json(page: &Page<'_>) -> Value {
    let (format, version) = LIGHT;
    let (rise, set) = page.sun();
    let departures = page.departures.iter().map(|departure| {
        let sights = departure.lights.iter().filter_map(|light| {
            let place = page.plan.places.get(light.place.index())?;
            Some(json!({
                "sight": place.name,
                "title": place.title,
                "camera": words::camera(page.plan, light.camera),
                "time": UtcText(light.time).to_string(),
                "sun_azimuth_deg": tenths(light.sun.azimuth.get()),
                "sun_elevation_deg": tenths(light.sun.elevation.get()),
                "lit": lit(light.on_sight),
                "in_frame_ms": light.in_frame.0,
                "into_lens_ms": light.into_lens.0,
                "in_live_ms": light.of.0,
                "score": light.score,
            }))
        });
        json!({
            "local_time": departure.time.clock(),
            "score": departure.sum.map(tenths),
            "sights": sights.collect::<Vec<_>>(),
        })
    });
    json!({
        "format": format,
        "version": version,
        "plan": page.identity.json(),
        "day": page.day,
        "date": page.local_day(),
        "sunrise": rise,
        "sunset": set,
        "into_lens_deg": page.plan.light.into_lens.get(),
        "departures": departures.collect::<Vec<_>>(),
    })
}

fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// Text between tags.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

const LEFT: usize = 220;
const CELL: usize = 96;
const ROW: usize = 34;
const TOP: usize = 108;

/// A chart: a row for each sight, a column for each departure, and a bar for the sum. What a cell
/// says is written in it; the shade only repeats it, so that it can be printed in black.
pub(crate) fn svg(page: &Page<'_>) -> String {
    let sights: Vec<(PlaceId, &str, bool)> = page.sights().collect();
    let width = LEFT + CELL * page.departures.len().max(1) + 24;
    let bars = TOP + ROW * sights.len() + 24;
    let height = bars + 150;
    let mut out = String::new();
    let mut put = |text: String| {
        out.push_str(&text);
        out.push('\n');
    };
    put(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" \
         font-family=\"system-ui, sans-serif\" font-size=\"14\" role=\"img\">"
    ));
    let title = escaped(&page.identity.title);
    put(format!("<title>Light on {}: {title}</title>", page.local_day()));
    put(format!("<rect width=\"{width}\" height=\"{height}\" fill=\"#fff\"/>"));
    put(format!("<text x=\"16\" y=\"28\" font-size=\"18\" font-weight=\"600\">{title}</text>"));
    put(format!(
        "<text x=\"16\" y=\"50\">Light on {}; {}</text>",
        page.local_day(),
        escaped(&page.sun_words())
    ));
    put(format!(
        "<text x=\"16\" y=\"70\" font-size=\"12\">{}; {NOT_FOR_NAVIGATION}</text>",
        escaped(&page.identity.plan())
    ));
    for (column, departure) in page.departures.iter().enumerate() {
        let x = LEFT + column * CELL + CELL / 2;
        put(format!(
            "<text x=\"{x}\" y=\"{}\" text-anchor=\"middle\" font-weight=\"600\">{}</text>",
            TOP - 10,
            departure.time.clock()
        ));
    }
    for (row, (place, title, must_have)) in sights.iter().enumerate() {
        let y = TOP + row * ROW;
        let weight = if *must_have { "600" } else { "400" };
        put(format!(
            "<text x=\"{}\" y=\"{}\" text-anchor=\"end\" font-weight=\"{weight}\">{}</text>",
            LEFT - 10,
            y + 22,
            escaped(title)
        ));
        for (column, departure) in page.departures.iter().enumerate() {
            let x = LEFT + column * CELL;
            let Some(light) = departure.of(*place) else { continue };
            put(cell(x, y, light));
        }
    }
    let mut words = String::new();
    for (column, departure) in page.departures.iter().enumerate() {
        let Some(sum) = departure.sum else { continue };
        let tall = sum;
        let x = LEFT + column * CELL + CELL / 2;
        let base = bars + 112;
        let _ = writeln!(
            words,
            "<rect x=\"{}\" y=\"{:.0}\" width=\"36\" height=\"{tall:.0}\" fill=\"#3d5a80\"/>\
             <text x=\"{x}\" y=\"{:.0}\" text-anchor=\"middle\" font-weight=\"600\">{sum:.0}</text>",
            x - 18,
            tenths(base as f64 - tall),
            tenths(base as f64 - tall) - 5.0,
        );
    }
    put(words);
    put(format!(
        "<text x=\"{}\" y=\"{}\" text-anchor=\"end\" font-weight=\"600\">in sum, of 100</text>",
        LEFT - 10,
        bars + 108
    ));
    put(format!(
        "<text x=\"16\" y=\"{}\" font-size=\"12\">Must-have sights are in bold and count twice. ☀ sun \
         in the lens.</text>",
        height - 10
    ));
    put("</svg>".to_owned());
    out
}

fn cell(x: usize, y: usize, light: &SightLight) -> String {
    // From dark to light, and the writing on it always the other way.
    let (fill, ink) = match light.on_sight {
        OnSight::Front => ("#fff3bf", "#111"),
        OnSight::Side => ("#f2d9a0", "#111"),
        OnSight::Back => ("#8d99ae", "#000"),
        OnSight::Dark => ("#22223b", "#fff"),
    };
    let lens = if light.into_lens > Millis::ZERO { " ☀" } else { "" };
    format!(
        "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{fill}\" stroke=\"#444\"/>\
         <text x=\"{}\" y=\"{}\" text-anchor=\"middle\" font-size=\"13\" fill=\"{ink}\">{} {}{lens}</text>",
        x + 1,
        y + 1,
        CELL - 2,
        ROW - 2,
        x + CELL / 2,
        y + 22,
        light.score,
        lit(light.on_sight).trim_end_matches("-lit"),
    )
}
