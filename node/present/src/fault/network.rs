//! Words of faults.

use super::{FaultWords, words};

pub(super) const WORDS: &[FaultWords] = &[
    words(
        "allowed-list-damaged",
        "the list of allowed nodes {path} cannot be understood",
        &["move the file away and make the list anew: propagule peers allow PEER-ID"],
    ),
    words(
        "node-name-malformed",
        "the name is not one line of at most {allowed_name} characters",
        &["propagule peers allow {peer} --as \"a short name\""],
    ),
    words(
        "allowed-list-full",
        "the list is full ({allowed_nodes} nodes)",
        &["take one off: propagule peers disallow PEER-ID"],
    ),
    words(
        "node-not-named",
        "\"{shown}\" names no node of this network",
        &["a friend's node says its id in the first line of: propagule peers list"],
    ),
    words(
        "peer-book-damaged",
        "the address book {path} is damaged",
        &["move it away and add the other growers' computers again: propagule peers add ADDRESS"],
    ),
    words(
        "guards-damaged",
        "the file {path} is damaged: it says which nodes get your results first",
        &["put back a copy of it, or move it away: other nodes are then chosen, and learn what is yours"],
    ),
    words(
        "peer-book-full",
        "the address book is full ({book_addresses} addresses)",
        &["take some out of peers.json in your data folder"],
    ),
    words(
        "address-without-peer",
        "the address \"{address}\" names no computer",
        &["it must end in /p2p/ID; on the other computer: propagule peers invite"],
    ),
    words(
        "invite-too-long",
        "the invite is longer than {invite_bytes} bytes",
        &["ask for a new one; on the other computer: propagule peers invite"],
    ),
    words(
        "invite-of-another-network",
        "the invite is to the network \"{theirs}\", your data belong to \"{network}\"",
        &["make a data folder for that network: propagule --home FOLDER init --network {theirs}"],
    ),
    words(
        "invite-with-too-many-addresses",
        "the invite holds more than {invite_addresses} addresses",
        &["ask for a new one; on the other computer: propagule peers invite"],
    ),
    words(
        "invite-without-address",
        "the invite holds no address",
        &["ask for a new one; on the other computer: propagule peers invite"],
    ),
    words(
        "address-malformed",
        "\"{shown}\" is neither an address nor an invite",
        &[
            "an address looks like /ip4/192.0.2.7/tcp/48620/p2p/ID; on the other computer: propagule peers invite",
        ],
    ),
    words(
        "network-not-started",
        "the network part cannot start",
        &["look at listen in config.toml, and start it again: propagule serve"],
    ),
    words(
        "listen-unsupported",
        "cannot listen on {address}",
        &["listen by TCP, or build it with QUIC: cargo install --path node --features quic"],
    ),
    words(
        "listen-refused",
        "cannot listen on {address}",
        &[
            "another program may use that port; let the system choose one: propagule serve --listen /ip4/127.0.0.1/tcp/0",
        ],
    ),
];
