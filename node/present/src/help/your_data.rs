//! Help of the commands under "Your data".

use super::CommandHelp;

pub(super) const COMMANDS: &[CommandHelp] = &[
    CommandHelp {
        command: "export",
        first: "Write everything you entered: an archive (FILE.zip), or CSV and JSON in a folder",
        more: "An archive holds all that cannot be had back from others; `propagule restore` makes a data folder of it again. Of the tables, bench-table.csv has a row for each pot and day, and datapackage.json describes its columns.",
        examples: &[
            "propagule export bench-2026.zip",
            "propagule export bench-2026.zip --with-keys",
            "propagule export bench-2026 --table",
        ],
        options: &[
            ("target", "A file that ends in .zip, or a folder; the folder is made where there is none"),
            ("table", "Of the folder only the tidy table and what describes it"),
            ("with_keys", "Also your keys: whoever has the file can publish as you"),
            ("force", "Write over files that are there"),
        ],
    },
    CommandHelp {
        command: "restore",
        first: "Make a data folder from an archive that `export` wrote",
        more: "The folder must not be there yet: name another one with --home to put the archive beside yours.",
        examples: &[
            "propagule restore bench-2026.zip",
            "propagule --home ./bench-again restore bench-2026.zip",
        ],
        options: &[("file", "The archive")],
    },
    CommandHelp {
        command: "doctor",
        first: "Check that everything is working; each fault comes with the command that fixes it",
        more: "Each line says ok, or what is wrong and the command that fixes it. Changes nothing itself. Exits with 1 when something is wrong.",
        examples: &["propagule doctor", "propagule doctor --full --json"],
        options: &[(
            "full",
            "Read every file whole and check every signature again; takes a while with many results",
        )],
    },
    CommandHelp {
        command: "store",
        first: "Check, repair or compact the data files",
        more: "",
        examples: &["propagule store verify", "propagule store compact"],
        options: &[],
    },
    CommandHelp {
        command: "store verify",
        first: "Read everything, check every result again, and name all damage; changes nothing",
        more: "Exits with 1 when something is damaged or lost.",
        examples: &["propagule store verify", "propagule store verify --json"],
        options: &[],
    },
    CommandHelp {
        command: "store repair",
        first: "Save everything that is whole, keep damaged files aside, and fetch what is lost from other growers",
        more: "",
        examples: &["propagule store repair", "propagule store repair --json"],
        options: &[],
    },
    CommandHelp {
        command: "store compact",
        first: "Leave out what is not needed any more; every result that counts stays",
        more: "",
        examples: &["propagule store compact", "propagule store compact --json"],
        options: &[],
    },
    CommandHelp {
        command: "man",
        first: "Write the manual pages into a folder",
        more: "",
        examples: &["propagule man --into ~/.local/share/man/man1", "propagule man --into pages"],
        options: &[("into", "The folder, made where there is none; pages that stand in it are replaced")],
    },
    CommandHelp {
        command: "completions",
        first: "Print the completions for your shell",
        more: "",
        examples: &[
            "propagule completions bash > ~/.local/share/bash-completion/completions/propagule",
            "propagule completions fish > ~/.config/fish/completions/propagule.fish",
        ],
        options: &[("shell", "The shell")],
    },
];
