//! From where a node is reached, in words.

use super::counted;

/// By way of how many relays others reach this node.
pub fn reached_by_relay(relays: usize) -> String {
    format!(
        "Others reach this node through {} that relays for it; what goes that way goes in small parts.",
        counted(relays, "friend's node", "friends' nodes").replace("1 friend's node", "a friend's node")
    )
    .replace("nodes that relays", "nodes that relay")
}

/// For how many others this node relays.
pub fn relays_for_others(places: usize) -> String {
    match places {
        0 => "This node relays for others that cannot be reached; none has asked for it now.".to_owned(),
        _ => format!(
            "This node relays for {} that cannot be reached otherwise.",
            counted(places, "other node", "other nodes")
        ),
    }
}

/// How many nodes may connect.
pub fn only_allowed(nodes: usize) -> String {
    match nodes {
        0 => "No node may connect: there is a list of allowed nodes, and nobody is on it.".to_owned(),
        1 => "Only the one node on the list may connect.".to_owned(),
        _ => format!("Only the {nodes} nodes on the list may connect."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_of_nodes_hold_for_none_one_and_more() {
        assert!(
            reached_by_relay(1)
                .starts_with("Others reach this node through a friend's node that relays for it;")
        );
        assert!(
            reached_by_relay(2)
                .starts_with("Others reach this node through 2 friends' nodes that relay for it;")
        );
        assert!(relays_for_others(0).contains("none has asked"));
        assert_eq!(
            relays_for_others(1),
            "This node relays for 1 other node that cannot be reached otherwise."
        );
        assert_eq!(
            relays_for_others(3),
            "This node relays for 3 other nodes that cannot be reached otherwise."
        );
        assert!(only_allowed(0).starts_with("No node may connect"));
        assert_eq!(only_allowed(1), "Only the one node on the list may connect.");
        assert_eq!(only_allowed(7), "Only the 7 nodes on the list may connect.");
    }
}
