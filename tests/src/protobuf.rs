//! Protocol Buffers by hand, as far as the frames of gossip need them.

/// A number in base 128.
fn varint(mut number: usize) -> Vec<u8> {
    let mut bytes = Vec::new();
    while number >= 0x80 {
        bytes.push(number as u8 | 0x80);
        number >>= 7;
    }
    bytes.push(number as u8);
    bytes
}

/// A field of bytes.
pub fn field(number: u8, bytes: &[u8]) -> Vec<u8> {
    [vec![number << 3 | 2], varint(bytes.len()), bytes.to_vec()].concat()
}

/// One message in the frame of the gossipsub specification: length, and field 2 with data (2) and topic (4).
pub fn frame(topic: &str, data: &[u8]) -> Vec<u8> {
    let rpc = field(2, &[field(2, data), field(4, topic.as_bytes())].concat());
    [varint(rpc.len()), rpc].concat()
}
