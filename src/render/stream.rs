//! Streams of a PDF file, packed.

use flate2::{write::ZlibEncoder, Compression};
use lopdf::{Dictionary, Stream};
use std::io::Write;

/// How hard streams are packed: the quickest. Level 2 takes half as long again (89 for 59 instructions a byte on a page of 300
/// openings) for pages an eighth smaller.
const LEVEL: u32 = 1;

/// A stream packed with deflate.
pub(super) fn packed(mut dictionary: Dictionary, bytes: Vec<u8>) -> Stream {
    let mut encoder = ZlibEncoder::new(Vec::with_capacity(bytes.len() / 3 + 64), Compression::new(LEVEL));
    match encoder.write_all(&bytes).and_then(|()| encoder.finish()) {
        Ok(small) => {
            dictionary.set("Filter", "FlateDecode");
            Stream::new(dictionary, small).with_compression(false)
        }
        Err(_) => Stream::new(dictionary, bytes).with_compression(false),
    }
}
