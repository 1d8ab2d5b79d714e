//! The last page of an Ogg file.
//!
//! # References
//! RFC 3533, section 6; for what the position of a page counts in Vorbis, the Vorbis I
//! specification, appendix A.2.

use std::io::{Read, Seek};

use super::{Broken, End, Structure, read_at};
use crate::measure::Coding;

/// The longest page: a header with 255 lacing values of 255.
const LONGEST_PAGE: u64 = 27 + 255 + 255 * 255;

const LAST_PAGE: u8 = 4;

/// Looks for the last page, which is marked as such and counts the frames.
pub(crate) fn look(source: &mut (impl Read + Seek), size: u64) -> Result<Structure, Broken> {
    let serial = |page: &[u8]| page.get(14..18).map(<[u8]>::to_vec);
    let first = serial(&read_at(source, 0, 27)?);
    let from = size.saturating_sub(2 * LONGEST_PAGE);
    let tail = read_at(source, from, 2 * LONGEST_PAGE)?;
    let last = last_page(&tail).filter(|page| page.flags & LAST_PAGE != 0);
    let same = |page: &Page| Some(page.serial.to_vec()) == first;
    let (stated, end) = match last {
        Some(page) if same(&page) => (u64::try_from(page.position).ok(), End::Reached),
        Some(_) => return Err(Broken::Header("holds several recordings one behind the other")),
        None => (None, End::CutOff),
    };
    Ok(Structure {
        coding: Coding::Lossy,
        stated,
        end,
        bytes: (0, size),
        header: Vec::new(),
        pieces: None,
        trims: true,
    })
}

struct Page {
    flags: u8,
    position: i64,
    serial: [u8; 4],
}

/// The last page that is there to its end.
fn last_page(tail: &[u8]) -> Option<Page> {
    let starts = (0..tail.len().saturating_sub(26)).rev();
    starts.filter(|at| tail[*at..].starts_with(b"OggS")).find_map(|at| page(&tail[at..]))
}

fn page(bytes: &[u8]) -> Option<Page> {
    let segments = usize::from(*bytes.get(26)?);
    let lacing = bytes.get(27..27 + segments)?;
    let content: usize = lacing.iter().map(|length| usize::from(*length)).sum();
    bytes.get(..27 + segments + content)?;
    Some(Page {
        flags: *bytes.get(5)?,
        position: i64::from_le_bytes(bytes.get(6..14)?.try_into().ok()?),
        serial: bytes.get(14..18)?.try_into().ok()?,
    })
}
