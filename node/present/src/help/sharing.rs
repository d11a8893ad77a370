//! Help of the commands under "Sharing".

use super::CommandHelp;

pub(super) const COMMANDS: &[CommandHelp] = &[
    CommandHelp {
        command: "publish",
        first: "Show exactly what would leave this computer; publish it with --yes",
        more: "",
        examples: &["propagule publish M1", "propagule publish M1 --yes", "propagule publish M1 --yes --now"],
        options: &[
            ("yes", "You have seen what leaves and agree"),
            (
                "now",
                "Without the random delay and the detour: whoever watches closely can then guess where it came from",
            ),
            ("preview", "Only show what would leave"),
        ],
    },
    CommandHelp {
        command: "withdraw",
        first: "Withdraw a published trial for good; others may keep copies",
        more: "",
        examples: &[
            "propagule withdraw M1 --reason 'wrong plant'",
            "propagule withdraw M1 --reason mistaken --yes",
        ],
        options: &[
            ("reason", "Why: mistaken, wrong plant, or private again"),
            ("yes", "You know that it is final"),
            ("now", "Without the random delay and the detour"),
        ],
    },
    CommandHelp {
        command: "trust",
        first: "Growers whose results you count first",
        more: "Without a command it shows the growers you trust and those they vouch for, how much each counts and why, and your own key.",
        examples: &["propagule trust", "propagule trust add 3f9a1c22 --as \"the nursery\""],
        options: &[],
    },
    CommandHelp {
        command: "trust add",
        first: "Trust a grower at home; nobody else knows",
        more: "",
        examples: &[
            "propagule trust add 3f9a1c22 --as \"the nursery\"",
            "propagule trust add \"the nursery\"",
        ],
        options: &[],
    },
    CommandHelp {
        command: "trust remove",
        first: "Stop trusting a grower at home",
        more: "",
        examples: &["propagule trust remove \"the nursery\"", "propagule trust remove 3f9a1c22"],
        options: &[],
    },
    CommandHelp {
        command: "trust vouch",
        first: "Vouch for a grower publicly: everybody can read it, for good",
        more: "",
        examples: &[
            "propagule trust vouch 3f9a1c22 --as \"the nursery\"",
            "propagule trust vouch \"the nursery\" --yes",
        ],
        options: &[("yes", "You know that everybody can read it")],
    },
    CommandHelp {
        command: "trust unvouch",
        first: "End a vouch, publicly",
        more: "",
        examples: &["propagule trust unvouch \"the nursery\"", "propagule trust unvouch 3f9a1c22 --now"],
        options: &[],
    },
    CommandHelp {
        command: "trust mute",
        first: "Ignore a grower: their results do not count here, nor does their vouching",
        more: "",
        examples: &["propagule trust mute 77aa01fe", "propagule trust mute 77aa01fe --as \"the far end\""],
        options: &[],
    },
    CommandHelp {
        command: "trust unmute",
        first: "Count a grower's results again",
        more: "",
        examples: &["propagule trust unmute 77aa01fe", "propagule trust unmute \"the far end\""],
        options: &[],
    },
    CommandHelp {
        command: "peers",
        first: "Other growers' computers that yours exchanges results with",
        more: "",
        examples: &["propagule peers list", "propagule peers invite"],
        options: &[],
    },
    CommandHelp {
        command: "peers add",
        first: "Add a grower's computer by its invite or address",
        more: "",
        examples: &[
            "propagule peers add /ip4/192.0.2.7/tcp/48620/p2p/ID",
            "propagule peers add \"propagule-invite/1,propagule,/ip4/192.0.2.7/tcp/48620/p2p/ID\"",
        ],
        options: &[("address", "Address or invite")],
    },
    CommandHelp {
        command: "peers invite",
        first: "Print an invite for another grower; Propagule must be running",
        more: "",
        examples: &["propagule peers invite", "propagule peers invite --qr"],
        options: &[("qr", "Show it as a QR code too, for the camera of a computer beside this one")],
    },
    CommandHelp {
        command: "peers allow",
        first: "Let a computer connect; from the first on, only those on this list may",
        more: "",
        examples: &[
            "propagule peers allow 12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5 --as \"a friend\"",
            "propagule peers allow --all",
        ],
        options: &[
            ("name", "Whose it is, for your own eyes"),
            ("all", "Do without the list: everybody in the network may connect"),
        ],
    },
    CommandHelp {
        command: "peers disallow",
        first: "Take a computer off that list; the list stays, even when nobody is left on it",
        more: "",
        examples: &[
            "propagule peers disallow 12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5",
            "propagule peers disallow /ip4/192.0.2.7/tcp/48620/p2p/12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5",
        ],
        options: &[],
    },
    CommandHelp {
        command: "peers list",
        first: "Show who is connected, how many results are here, and what was refused",
        more: "",
        examples: &["propagule peers list", "propagule peers list --json"],
        options: &[],
    },
    CommandHelp {
        command: "bundle",
        first: "Pass published results on in a file, without a network",
        more: "",
        examples: &["propagule bundle export results.bundle", "propagule bundle import results.bundle"],
        options: &[],
    },
    CommandHelp {
        command: "bundle export",
        first: "Write published results into a new file: all, since a month, or what another computer lacks",
        more: "",
        examples: &[
            "propagule bundle export results.bundle",
            "propagule bundle export new.bundle --since 2026-09",
            "propagule bundle export for-ben.bundle --missing-for ben.request",
        ],
        options: &[
            ("since", "Only results published in this month or later"),
            ("missing_for", "Only what the computer that wrote this request file does not have"),
        ],
    },
    CommandHelp {
        command: "bundle request",
        first: "Write down what is here, so that another computer can make a bundle of what is not",
        more: "",
        examples: &["propagule bundle request ben.request", "propagule bundle request ben.request --json"],
        options: &[],
    },
    CommandHelp {
        command: "bundle import",
        first: "Take in a bundle file; each result is checked as if it came over the network",
        more: "Ctrl-C stops it: what is in by then stays, and the same command goes on later.",
        examples: &[
            "propagule bundle import results.bundle",
            "propagule bundle import from-my-club.bundle --as-known",
        ],
        options: &[
            ("file", "The file"),
            ("as_known", "You know where it is from: its growers count here as if known for a month"),
        ],
    },
    CommandHelp {
        command: "key",
        first: "The key that signs your results: see it, replace it, cancel it",
        more: "",
        examples: &["propagule key show", "propagule key replace"],
        options: &[],
    },
    CommandHelp {
        command: "key show",
        first: "Show your keys and what they signed",
        more: "",
        examples: &["propagule key show", "propagule key show --json"],
        options: &[],
    },
    CommandHelp {
        command: "key replace",
        first: "Go on with a new key that everybody knows to be yours; the old one is kept",
        more: "",
        examples: &["propagule key replace", "propagule key replace --unlinked"],
        options: &[
            ("unlinked", "A key that nothing links to the old one: to others, another grower"),
            ("yes", "You know what it does"),
        ],
    },
    CommandHelp {
        command: "key cancel",
        first: "Cancel a key: from a month on by the key itself, or wholly by a printed sheet",
        more: "",
        examples: &[
            "propagule key cancel --write-sheet cancel-key.txt",
            "propagule key cancel --from 2026-11",
            "propagule key cancel --sheet cancel-key.txt",
        ],
        options: &[
            ("from", "Nothing that the key signed in this month or later counts"),
            (
                "sheet",
                "Publish the cancellation on this sheet, of whatever key; `-` reads what is typed or piped in",
            ),
            (
                "write_sheet",
                "Write a cancellation sheet to print and keep: it cancels the present key wholly, even when the key is lost; `-` shows it",
            ),
            (
                "except",
                "A result of an earlier month that is not yours, by the first digits of its number (8 at least): it does not count either",
            ),
            ("key", "How the key begins, for a former key of yours [default: the key that signs now]"),
            ("yes", "You know what it does"),
        ],
    },
];
