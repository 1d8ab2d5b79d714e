//! A script as a sheet: CSV, or a workbook.

use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Workbook, Worksheet, XlsxError,
};

use crate::columns::Column;
use crate::document::{Document, LengthFrom, Line};
use crate::text::{MadeFrom, guarded, guarded_in_workbook};

/// The content of a cell.
enum Cell {
    Empty,
    Text(String),
    Number(f64),
}

impl Cell {
    fn text(text: Option<&str>) -> Self {
        text.map_or(Self::Empty, |text| Self::Text(text.to_owned()))
    }

    fn whole(number: Option<usize>) -> Self {
        number.map_or(Self::Empty, |number| Self::Number(number as f64))
    }

    fn seconds(time: Option<earth::Millis>) -> Self {
        // Tenths are what an estimate is good for.
        time.map_or(Self::Empty, |time| Self::Number((time.0 as f64 / 100.0).round() / 10.0))
    }
}

fn cell(document: &Document, line: &Line, column: Column) -> Cell {
    let room = line.room.as_ref().map(|room| room.least);
    let text = line.text.as_deref();
    match column {
        Column::Number => Cell::Number(f64::from(line.number)),
        Column::Name => Cell::Text(line.name.clone()),
        Column::Version => Cell::Text(line.version.word().to_owned()),
        Column::Language => Cell::Text(document.language.clone()),
        Column::CuePoint => {
            let sync = line.sync_words().map(|words| format!("; {words}")).unwrap_or_default();
            Cell::Text(format!("{}{sync}", line.when.join("; or ")))
        }
        Column::Planned => Cell::text(line.planned_words().as_deref()),
        Column::Text => Cell::text(text),
        Column::Count => Cell::whole(text.map(|text| line.pace.count(text))),
        Column::Length => Cell::seconds(line.length.map(|(length, _)| length)),
        Column::Room => Cell::seconds(room),
        Column::RoomCount => Cell::whole(room.map(|room| line.pace.told_in(room) as usize)),
        Column::Pronunciation => Cell::text(line.pronunciation.as_deref()),
        Column::Take | Column::TakeLength | Column::Remark => Cell::Empty,
        Column::Plan => Cell::Text(document.code.clone()),
        Column::MadeFrom => Cell::Text(MadeFrom::new(text, line.pronunciation.as_deref()).cell()),
    }
}

/// The script as CSV by RFC 4180: UTF-8 with a byte order mark, by which spreadsheet programs know
/// it as UTF-8; commas; lines that end in CR LF; a text with line breaks in quotes.
///
/// A text that begins with `=`, `+`, `-` or `@` has an apostrophe before it: a spreadsheet program
/// would take it for a formula. Reading takes it away again.
#[must_use]
pub fn write_csv(document: &Document) -> Vec<u8> {
    let mut csv = "\u{FEFF}".to_owned();
    let mut row = |cells: Vec<String>| {
        csv.push_str(&cells.join(","));
        csv.push_str("\r\n");
    };
    row(Column::ALL.iter().map(|column| quoted(&column.heading())).collect());
    for line in &document.lines {
        let cells = Column::ALL.iter().map(|column| match cell(document, line, *column) {
            Cell::Empty => String::new(),
            Cell::Number(number) => number.to_string(),
            Cell::Text(text) => quoted(&guarded(&text)),
        });
        row(cells.collect());
    }
    csv.into_bytes()
}

fn quoted(text: &str) -> String {
    // Semicolons and tabs part cells for other programs.
    let plain = !text.contains([',', ';', '\t', '"', '\n', '\r', '\'']) && text.trim() == text;
    if plain { text.to_owned() } else { format!("\"{}\"", text.replace('"', "\"\"")) }
}

/// The script as a workbook (Office Open XML): the sheet `Script`, with what is not to be edited on
/// grey, and the sheet `About`, which says what it is and what comes back.
///
/// # Errors
/// Where a cell would hold more than a workbook can, in words.
pub fn write_xlsx(document: &Document) -> Result<Vec<u8>, String> {
    workbook(document).map_err(|error| error.to_string())
}

fn workbook(document: &Document) -> Result<Vec<u8>, XlsxError> {
    let mut workbook = Workbook::new();
    // The same script is the same bytes, whenever it is written.
    let day = ExcelDateTime::from_ymd(2000, 1, 1)?;
    let title = format!("{}: script in {}", document.tour, document.language);
    let properties = DocProperties::new().set_title(&title).set_creation_datetime(&day);
    workbook.set_properties(&properties);
    script(document, workbook.add_worksheet())?;
    about(document, workbook.add_worksheet())?;
    workbook.save_to_buffer()
}

const GREY: u32 = 0x00E7_E7E7;

fn script(document: &Document, sheet: &mut Worksheet) -> Result<(), XlsxError> {
    let cell_format = || {
        Format::new()
            .set_align(FormatAlign::Top)
            .set_border(FormatBorder::Thin)
            .set_border_color(0x00B0_B0B0)
            .set_text_wrap()
    };
    let edited = cell_format();
    let kept = cell_format().set_background_color(GREY);
    let heading = cell_format().set_bold().set_background_color(0x00C8_C8C8);
    sheet.set_name("Script")?;
    for (number, column) in (0_u16..).zip(Column::ALL) {
        sheet.set_column_width(number, column.width())?;
        sheet.write_string_with_format(0, number, column.heading(), &heading)?;
        let format = if column.is_edited() { &edited } else { &kept };
        for (row, line) in (1_u32..).zip(&document.lines) {
            match cell(document, line, column) {
                Cell::Empty => sheet.write_blank(row, number, format)?,
                Cell::Text(text) => {
                    let text = guarded_in_workbook(&text);
                    sheet.write_string_with_format(row, number, text, format)?
                }
                Cell::Number(is) => sheet.write_number_with_format(row, number, is, format)?,
            };
        }
    }
    sheet.set_freeze_panes(1, 2)?;
    // On paper: A4 across, as wide as the page, with the headings on each.
    sheet.set_paper_size(9).set_landscape().set_print_fit_to_pages(1, 0).set_repeat_rows(0, 0)?;
    let of = format!(
        "&L{}, {}&Rplan {}, page &P of &N",
        document.tour.replace('&', "&&"),
        document.language,
        document.code
    );
    sheet.set_footer(of);
    Ok(())
}

fn about(document: &Document, sheet: &mut Worksheet) -> Result<(), XlsxError> {
    let bold = Format::new().set_bold().set_align(FormatAlign::Top);
    let wrapped = Format::new().set_text_wrap().set_align(FormatAlign::Top);
    sheet.set_name("About")?;
    sheet.set_column_width(0, 20)?.set_column_width(1, 90)?;
    let mut rows = vec![
        ("tour", document.tour.clone()),
        ("revision", document.revision.to_string()),
        ("plan", document.code.clone()),
        ("status", document.status.clone()),
        ("language", document.language.clone()),
        ("pace", pace_words(document.pace)),
    ];
    if !document.differences.is_empty() {
        rows.push(("differs from the tour as written", document.differences.join("; ")));
    }
    rows.extend([
        (
            "what to edit",
            "The white columns: text and pronunciation come back into the tour; take, take length \
             and remark are for you. Rows and columns may be sorted, moved and hidden."
                .to_owned(),
        ),
        (
            "what to leave",
            "The grey columns, and the headings: by them each text finds its way back.".to_owned(),
        ),
        (
            "lengths",
            "Seconds. Where a text has not been recorded, they are reckoned from its words at the \
             pace above."
                .to_owned(),
        ),
    ]);
    for (row, (what, is)) in (0_u32..).zip(rows) {
        sheet.write_string_with_format(row, 0, what, &bold)?;
        sheet.write_string_with_format(row, 1, is, &wrapped)?;
    }
    Ok(())
}

impl Line {
    /// When and where it starts on the planned flight, in words.
    pub(crate) fn planned_words(&self) -> Option<String> {
        let planned = self.planned.as_ref()?;
        let comma = if planned.place.is_empty() { "" } else { ", " };
        Some(format!("{}{comma}{}", since(planned.since), planned.place))
    }

    /// Which word belongs on the picture, in words: `“hindurch”, at 15.4 s, belongs on the picture`.
    pub(crate) fn sync_words(&self) -> Option<String> {
        let (word, at) = self.sync_word.as_ref()?;
        Some(format!("“{word}”, at {}, belongs on the picture", seconds(*at)))
    }

    /// How long it takes, in words: `about 23.5 s` where that is reckoned.
    pub(crate) fn length_words(&self) -> Option<String> {
        let (length, from) = self.length?;
        let length = seconds(length);
        Some(match from {
            LengthFrom::Text => format!("about {length}"),
            LengthFrom::Author => length,
            LengthFrom::Recording => format!("{length} recorded"),
        })
    }
}

/// A pace in words: `115 words a minute`.
pub(crate) fn pace_words(pace: compiler::Pace) -> String {
    format!("{} {} a minute", pace.a_minute(), pace.unit())
}

/// A time as seconds: `27 s`, `23.5 s`.
pub(crate) fn seconds(time: earth::Millis) -> String {
    let tenths = (time.0 + 50).div_euclid(100);
    if tenths % 10 == 0 {
        format!("{} s", tenths / 10)
    } else {
        format!("{}.{} s", tenths / 10, tenths % 10)
    }
}

/// Time since take-off: `T+05:30`, `T-00:12` before it. Whole seconds, those begun not counted.
pub(crate) fn since(time: earth::Millis) -> String {
    let whole = time.0.div_euclid(1000);
    let sign = if whole < 0 { '-' } else { '+' };
    let whole = whole.unsigned_abs();
    let (hours, minutes, seconds) = (whole / 3600, whole / 60 % 60, whole % 60);
    if hours > 0 {
        format!("T{sign}{hours}:{minutes:02}:{seconds:02}")
    } else {
        format!("T{sign}{minutes:02}:{seconds:02}")
    }
}
