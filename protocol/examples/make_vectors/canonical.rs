//! Bodies outside the deterministic profile, in an envelope that holds.

use serde_json::Value as Json;

use crate::sample::seal::Seal;
use crate::{bad, network};

/// Head of a withdrawal up to key 4, as a map of `entries` entries.
fn start(entries: u8) -> Vec<u8> {
    vec![0xa0 | entries, 0x00, 0x02, 0x01, 0x00, 0x02, 0x00, 0x03, 0x19, 0x05, 0xf4]
}

fn withdrawal(entries: u8, more: &[u8]) -> Vec<u8> {
    let series = [&[0x04, 0x50][..], &[7; 16], &[0x05, 0x02]].concat();
    [start(entries), series, more.to_vec()].concat()
}

/// One more entry under the ignorable key 64.
fn ignorable(value: &[u8]) -> Vec<u8> {
    withdrawal(7, &[&[0x18, 0x40], value].concat())
}

pub(crate) fn vectors() -> Vec<Json> {
    all().iter().map(|(name, body)| bad(name, &Seal::new(1, network(), body.clone()).record())).collect()
}

fn all() -> Vec<(&'static str, Vec<u8>)> {
    let deep = [vec![0x81; 8], vec![0x00]].concat();
    let plain = withdrawal(6, &[]);
    let replaced = |at: usize, with: &[u8]| [&plain[..at], with, &plain[at + 1..]].concat();
    vec![
        ("half-precision float", ignorable(&[0xf9, 0x3c, 0x00])),
        ("single-precision float", ignorable(&[0xfa, 0x3f, 0x80, 0x00, 0x00])),
        ("double-precision float", ignorable(&[0xfb, 0x3f, 0xf0, 0, 0, 0, 0, 0, 0])),
        ("not a number", ignorable(&[0xf9, 0x7e, 0x00])),
        ("tag for a bignum", ignorable(&[0xc2, 0x41, 0x01])),
        ("tag for a date", ignorable(&[0xc1, 0x00])),
        ("true", ignorable(&[0xf5])),
        ("undefined", ignorable(&[0xf7])),
        ("simple value 255", ignorable(&[0xf8, 0xff])),
        ("simple value 19", ignorable(&[0xf3])),
        ("duplicate key", withdrawal(7, &[0x05, 0x02])),
        ("keys out of order", [&start(6)[..], &[0x05, 0x02, 0x04, 0x50], &[7; 16]].concat()),
        ("negative key", withdrawal(7, &[0x20, 0x00])),
        ("text key", withdrawal(7, &[0x61, 0x61, 0x00])),
        ("indefinite map", [&[0xbf][..], &plain[1..], &[0xff]].concat()),
        ("indefinite array", ignorable(&[0x9f, 0x00, 0xff])),
        ("indefinite text", ignorable(&[0x7f, 0x61, 0x61, 0xff])),
        ("indefinite bytes", ignorable(&[0x5f, 0x41, 0x00, 0xff])),
        ("break alone", ignorable(&[0xff])),
        ("number in two bytes that fits one", replaced(2, &[0x18, 0x02])),
        ("key in two bytes that fits one", replaced(1, &[0x18, 0x00])),
        ("number in five bytes that fits two", ignorable(&[0x1a, 0x00, 0x00, 0xff, 0xff])),
        ("number in nine bytes that fits five", ignorable(&[0x1b, 0, 0, 0, 0, 0xff, 0xff, 0xff, 0xff])),
        ("text length in two bytes that fits one", ignorable(&[0x78, 0x01, 0x61])),
        ("array length in two bytes that fits one", ignorable(&[0x98, 0x01, 0x00])),
        ("map length in two bytes that fits one", ignorable(&[0xb8, 0x00])),
        ("negative number in two bytes that fits one", ignorable(&[0x38, 0x00])),
        ("reserved head 28", ignorable(&[0x1c])),
        ("reserved head 30 of a text", ignorable(&[0x7e])),
        ("text that is not UTF-8", ignorable(&[0x61, 0xff])),
        ("text with a surrogate", ignorable(&[0x63, 0xed, 0xa0, 0x80])),
        ("nested too deep", ignorable(&deep)),
        ("array longer than the bytes", ignorable(&[0x9b, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff])),
        ("bytes longer than the body", ignorable(&[0x5a, 0xff, 0xff, 0xff, 0xff])),
        ("body ends early", plain[..plain.len() - 1].to_vec()),
        ("byte after the body", withdrawal(6, &[0x00])),
        ("no body", Vec::new()),
    ]
}
