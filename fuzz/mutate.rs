//! Inputs bred from others: numbers, words and lines changed as a slipping hand or a hostile one would.

/// Numbers from a seed, the same on every machine (xorshift64*, from memory).
pub struct Seed(pub u64);

impl Seed {
    pub fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    pub fn below(&mut self, n: usize) -> usize {
        (self.next() >> 11) as usize % n.max(1)
    }

    fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }
}

/// Numbers at the edges of what numbers can be.
const NUMBERS: [&str; 26] = [
    "0",
    "-0",
    "1",
    "-1",
    "0.1",
    "0.05",
    "2",
    "3",
    "7",
    "60",
    "90",
    "180",
    "360",
    "1e-9",
    "1e9",
    "1e300",
    "-1e300",
    "1e-300",
    "nan",
    "inf",
    "-inf",
    "4294967295",
    "4294967296",
    "9223372036854775807",
    "0.30000000000000004",
    "1_000",
];

/// Words that the readers know or stumble over.
const WORDS: [&str; 44] = [
    "circle",
    "ellipse",
    "rectangle",
    "polygon",
    "teardrop",
    "heart",
    "marquise",
    "cushion",
    "crescent",
    "band",
    "cone",
    "drawn",
    "file",
    "leaf.svg",
    "mine.toml",
    "hexagon",
    "triangle",
    "quatrefoil",
    "evened-out",
    "sunflower",
    "petal-ring",
    "fit",
    "trim",
    "whole",
    "join",
    "ease",
    "best",
    "opening",
    "bridge",
    "copper",
    "sterling-silver",
    "first",
    "fine-work",
    "in",
    "true",
    "false",
    "[[window]]",
    "[[hole]]",
    "[[keep_solid]]",
    "[[lug]]",
    "[paper]",
    "[construction]",
    "\"0,8 mm\"",
    "\"20 ga\"",
];

/// Bytes that end or begin things.
const SIGNS: [&str; 30] = [
    "\"",
    "'",
    "[",
    "]",
    "{",
    "}",
    "=",
    ",",
    ".",
    "\n",
    "#",
    "\\",
    "\0",
    "\u{feff}",
    "\u{1f600}",
    "<",
    ">",
    "</g>",
    "<g>",
    "&amp;",
    "Z",
    "M0 0",
    "A1 1 0 1 1 0 0",
    "C1 1 2 2 3 3",
    "|",
    "%",
    "mm",
    "translate(",
    ")",
    "<use href=\"#a\"/>",
];

/// A new input from those known.
pub fn bred(seed: &mut Seed, known: &[Vec<u8>], most: usize) -> Vec<u8> {
    let mut bytes = seed.one(known).clone();
    for _ in 0..=seed.below(4) {
        let at = seed.below(bytes.len() + 1);
        match seed.below(11) {
            0 => drop_range(seed, &mut bytes, at),
            1 => insert(&mut bytes, at, seed.one(&SIGNS).as_bytes()),
            2 => insert(&mut bytes, at, seed.one(&WORDS).as_bytes()),
            3 | 4 => replace_number(seed, &mut bytes, at),
            5 => replace_word(seed, &mut bytes, at),
            6 => copy_line(seed, &mut bytes),
            7 => drop_line(seed, &mut bytes),
            8 => splice(seed, &mut bytes, known),
            9 => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte ^= 1 << seed.below(8);
                }
            }
            _ => scale_number(seed, &mut bytes, at),
        }
    }
    bytes.truncate(most);
    bytes
}

fn insert(bytes: &mut Vec<u8>, at: usize, what: &[u8]) {
    bytes.splice(at..at, what.iter().copied());
}

fn drop_range(seed: &mut Seed, bytes: &mut Vec<u8>, at: usize) {
    let end = (at + 1 + seed.below(12)).min(bytes.len());
    bytes.drain(at.min(end)..end);
}

/// The run of bytes of one kind at or after a place.
fn run_of(bytes: &[u8], at: usize, kind: impl Fn(u8) -> bool) -> Option<(usize, usize)> {
    let start = at + bytes.get(at..)?.iter().position(|b| kind(*b))?;
    let end = bytes[start..].iter().position(|b| !kind(*b)).map_or(bytes.len(), |n| start + n);
    Some((start, end))
}

fn is_number(b: u8) -> bool {
    b.is_ascii_digit() || b == b'.'
}

fn replace_number(seed: &mut Seed, bytes: &mut Vec<u8>, at: usize) {
    if let Some((start, end)) = run_of(bytes, at, is_number) {
        bytes.splice(start..end, seed.one(&NUMBERS).bytes());
    }
}

fn scale_number(seed: &mut Seed, bytes: &mut Vec<u8>, at: usize) {
    let Some((start, end)) = run_of(bytes, at, is_number) else { return };
    let read = std::str::from_utf8(&bytes[start..end]).ok().and_then(|t| t.parse::<f64>().ok());
    if let Some(read) = read {
        let by = seed.one(&[0.5, 0.9, 0.999, 1.001, 1.1, 2.0, 10.0, 100.0]);
        let text = format!("{}", read * by);
        bytes.splice(start..end, text.bytes());
    }
}

fn replace_word(seed: &mut Seed, bytes: &mut Vec<u8>, at: usize) {
    if let Some((start, end)) = run_of(bytes, at, |b| b.is_ascii_alphabetic() || b == b'-' || b == b'_') {
        bytes.splice(start..end, seed.one(&WORDS).bytes());
    }
}

fn lines(bytes: &[u8]) -> Vec<(usize, usize)> {
    let mut all = Vec::new();
    let mut start = 0;
    for (i, b) in bytes.iter().enumerate() {
        if *b == b'\n' {
            all.push((start, i + 1));
            start = i + 1;
        }
    }
    all.push((start, bytes.len()));
    all
}

fn copy_line(seed: &mut Seed, bytes: &mut Vec<u8>) {
    let all = lines(bytes);
    let (from, to) = (*seed.one(&all), seed.one(&all).0);
    let line = bytes[from.0..from.1].to_vec();
    insert(bytes, to, &line);
}

fn drop_line(seed: &mut Seed, bytes: &mut Vec<u8>) {
    let (start, end) = *seed.one(&lines(bytes));
    bytes.drain(start..end);
}

/// Goes on with the end of another input.
fn splice(seed: &mut Seed, bytes: &mut Vec<u8>, known: &[Vec<u8>]) {
    let other = seed.one(known).clone();
    let (ours, theirs) = (seed.one(&lines(bytes)).0, seed.one(&lines(&other)).0);
    bytes.truncate(ours);
    bytes.extend_from_slice(&other[theirs..]);
}
