//! The first block of a FLAC file.
//!
//! # References
//! RFC 9639, sections 8.1 and 8.2.

use std::io::{Read, Seek};

use super::{Broken, End, Structure, read_at};
use crate::measure::Coding;

/// Reads what the stream, which begins at `start`, says about itself. Whether it is whole shows only when it is decoded.
pub(crate) fn look(
    source: &mut (impl Read + Seek),
    start: u64,
    size: u64,
) -> Result<Structure, Broken> {
    let head = read_at(source, start, 42)?;
    let info: &[u8; 34] = match (head.get(4), head.get(8..42).map(TryFrom::try_from)) {
        (Some(kind), Some(Ok(info))) if kind & 0x7F == 0 => info,
        _ => return Err(Broken::Header("does not begin with a description of its sound")),
    };
    // 20 bits of rate, 3 of channels, 5 of width and 36 of length, from byte 10 on.
    let packed = info[10..18].iter().fold(0_u64, |all, byte| all << 8 | u64::from(*byte));
    let bits = u16::try_from((packed >> 36 & 0x1F) + 1).unwrap_or(0);
    let frames = packed & 0xF_FFFF_FFFF;
    // Nought stands for a length that the encoder did not know.
    let stated = (frames > 0).then_some(frames);
    let pieces = match stated {
        Some(_) => None,
        None => Some(size.saturating_sub(behind_descriptions(source, start)?)),
    };
    Ok(Structure {
        coding: Coding::Whole { bits },
        stated,
        end: End::Reached,
        bytes: (start, size - start),
        header: Vec::new(),
        pieces,
        trims: false,
    })
}

/// Where the blocks that describe the sound end, and the sound begins.
fn behind_descriptions(source: &mut (impl Read + Seek), start: u64) -> Result<u64, Broken> {
    let mut at = start + 4;
    // There are at most 127 kinds of block, and only few may come again.
    for _ in 0..1000 {
        let [kind, high, middle, low] = read_at(source, at, 4)?[..] else { break };
        at += 4 + u64::from(u32::from_be_bytes([0, high, middle, low]));
        if kind & 0x80 != 0 {
            return Ok(at);
        }
    }
    Err(Broken::Header("ends before its sound begins"))
}
