//! Inviting, and the list of nodes that may connect, as typed.

use std::fs;

use crate::home::TestHome;
use crate::serving::Serving;

/// What was said, without the ends of its lines.
fn flat(said: &str) -> String {
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

const PEER: &str = "12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5";

#[test]
fn the_list_is_made_shown_and_taken_away() {
    let home = TestHome::new();
    let allowed = flat(&home.ok(&["peers", "allow", PEER, "--as", "Bruno"]));
    let expected = format!("{PEER} may connect. Only the one node on the list may connect.");
    assert!(allowed.starts_with(&expected), "{allowed}");
    let listed = home.ok(&["peers", "list"]);
    assert!(
        listed.contains(&format!("Only the one node on the list may connect.\n  {PEER} Bruno\n")),
        "{listed}"
    );
    let address = format!("/ip4/203.0.113.7/tcp/48620/p2p/{PEER}");
    assert!(flat(&home.ok(&["peers", "disallow", &address])).contains("No node may connect"));
    assert_eq!(home.ok(&["peers", "allow", "--all"]), "Every node of the network may connect.\n");
    let json = home.json(&["peers", "allow", PEER]);
    assert_eq!(
        (&json["format"], &json["allowed"][0]["peer_id"]),
        (&"propagule.peers_allowed/1".into(), &PEER.into())
    );
}

#[test]
fn what_names_no_node_and_who_is_not_on_the_list_are_said() {
    let home = TestHome::new();
    for wrong in
        ["bruno", "/ip4/203.0.113.7/tcp/48620", "propagule-invite/1,elsewhere,/ip4/203.0.113.7/tcp/1"]
    {
        let message = home.fails(1, &["peers", "allow", wrong]);
        assert!(
            message.contains("names no node of this network") && message.contains("\nhint: "),
            "{message}"
        );
    }
    let message = home.fails(1, &["peers", "disallow", PEER]);
    assert!(message.contains("is not on the list") && message.contains("hint: "), "{message}");
    let message = home.fails(1, &["peers", "allow", PEER, "--as", &"n".repeat(61)]);
    assert!(message.contains("at most 60 characters"), "{message}");
}

#[test]
fn a_list_that_cannot_be_read_lets_nobody_in() {
    let home = TestHome::new();
    fs::write(home.path().join("allowed.json"), "everybody").expect("writes");
    for words in [&["serve"][..], &["peers", "list"], &["peers", "allow", PEER]] {
        let message = home.fails(2, words);
        assert!(
            message.contains("allowed.json cannot be understood") && message.contains("hint: "),
            "{message}"
        );
    }
}

#[test]
fn an_invite_comes_as_text_and_as_a_code() {
    let home = TestHome::new();
    let message = home.fails(1, &["peers", "invite", "--qr"]);
    assert!(message.contains("needs the addresses of a running"), "{message}");
    let _serving = Serving::start(home.command(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0", "--no-page"]));
    let text = home.ok(&["peers", "invite"]);
    let both = home.ok(&["peers", "invite", "--qr"]);
    let code = both.strip_prefix(&text).expect("the text comes first");
    let lines: Vec<&str> = code.lines().filter(|line| !line.is_empty()).collect();
    let width = lines[0].chars().count();
    assert!(lines.iter().all(|line| line.chars().count() == width), "{code}");
    // Sides of 17 + 4 × version squares, and four light ones around (ISO/IEC 18004, §5.1 and §5.3.8).
    let side = width - 8;
    assert!(side >= 21 && (side - 17).is_multiple_of(4) && lines.len() == width.div_ceil(2), "{code}");
    let light = "█".repeat(width);
    assert!(lines[..2].iter().all(|line| *line == light), "{code}");
    // The finder pattern: a dark ring, a light one, three by three dark squares.
    let corner: Vec<String> = lines[2..6].iter().map(|line| line.chars().skip(4).take(7).collect()).collect();
    assert_eq!(corner, [" ▄▄▄▄▄ ", " █   █ ", " █▄▄▄█ ", "▄▄▄▄▄▄▄"].map(str::to_owned), "{code}");
    assert!(code.chars().all(|c| "█▀▄ \n".contains(c)), "{code}");
    assert_eq!(home.json(&["peers", "invite", "--qr"])["invite"].as_str(), Some(text.trim()));
}

#[test]
fn a_node_that_listens_here_only_says_so_and_how_to_let_others_in() {
    let home = TestHome::new();
    let _serving = Serving::start(home.command(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0", "--no-page"]));
    let said = flat(&home.ok(&["peers", "list"]));
    assert!(said.contains("it listens on this computer only"), "{said}");
    assert!(said.contains("To let others in: propagule serve --listen /ip4/0.0.0.0/tcp/48620"), "{said}");
    let json = home.json(&["peers", "list"]);
    assert_eq!(json["running"]["reached_from"], "machine");
    assert!(json["how_reached"][0].as_str().is_some_and(|first| said.contains(first)));
}

#[cfg(not(feature = "quic"))]
#[test]
fn an_address_for_quic_is_refused_by_a_program_without_it() {
    let home = TestHome::new();
    let message = home.fails(2, &["serve", "--listen", "/ip4/127.0.0.1/udp/0/quic-v1", "--no-page"]);
    assert!(message.contains("built without QUIC") && message.contains("--features quic"), "{message}");
}
