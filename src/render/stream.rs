//! Streams of a PDF file, packed.

use flate2::{write::ZlibEncoder, Compression};
use lopdf::{Dictionary, Stream};
use std::io::Write;

/// How hard streams are packed: levels 4 and 6 make a page 4 and 6 % smaller and take half as long again and five times as long.
const LEVEL: u32 = 2;

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
