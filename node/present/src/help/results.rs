//! Help of the commands under "Results".

use super::CommandHelp;

pub(super) const COMMANDS: &[CommandHelp] = &[
    CommandHelp {
        command: "pool",
        first: "Combine everybody's trials: which methods root, and how sure that is",
        more: "",
        examples: &[
            "propagule pool \"Morus nigra\"",
            "propagule pool \"Cornus mas\" --by none --json",
            "propagule pool \"Juglans regia\" --printed",
            "propagule pool \"Morus nigra\" --effects --save-results results.csv",
            "propagule pool --from evidence.csv",
        ],
        options: &[
            ("species", "Plant name"),
            (
                "several_pots_only",
                "Leave out comparisons from trials with one pot, tray or row per treatment",
            ),
            ("detail", "Also who moves the figures, classical results, and other starting assumptions"),
            ("effects", "What each detail adds, everything else equal; or only these details"),
            ("save_results", "Also write the results that are counted into a CSV table, which --from reads"),
            (
                "printed",
                "Show printed trials below growers' results, or `--printed=only` alone; where no grower has reported the plant they are shown anyway",
            ),
        ],
    },
    CommandHelp {
        command: "compare",
        first: "Set your trial against growers in a climate like yours",
        more: "",
        examples: &[
            "propagule compare M1",
            "propagule compare M1 --as-if-at \"the allotment\" --whose everybody",
            "propagule compare g01/t1 --from evidence.csv --sites sites.csv",
        ],
        options: &[
            ("trial", "Code of your trial, or GROWER/TRIAL of the table"),
            ("sites", "Climate of the table's growers: grower,temp,rain"),
            ("as_if_at", "What if it had been grown at another of your sites"),
        ],
    },
    CommandHelp {
        command: "plan",
        first: "How many to stick, how to tell methods apart, what to try next",
        more: "The numbers come from what growers reported. Where you have counts of your own they lead.",
        examples: &[
            "propagule plan \"Morus nigra\"",
            "propagule plan \"Morus nigra\" --want 12 --sure 90% --spare 48",
            "propagule plan --from evidence.csv --own g01 --cost 0.40 --minutes 3",
        ],
        options: &[
            ("species", "Plant name"),
            ("want", "Plants wanted"),
            ("sure", "How sure to be of them, such as 80%"),
            ("spare", "How many you can spare for one trial; half of them go into each of two treatments"),
            ("cost", "What each one costs, in your own currency"),
            ("minutes", "Minutes each one takes"),
            ("own", "Which grower of the table you are"),
        ],
    },
    CommandHelp {
        command: "names",
        first: "Look up a plant name; say which names you treat as one species",
        more: "",
        examples: &[
            "propagule names 'black mulberry'",
            "propagule names 'Rosmarinus officinalis' --same-as 'Salvia rosmarinus'",
            "propagule names 'Rosmarinus officinalis' --apart",
        ],
        options: &[
            ("name", "Scientific or common name; without it, all names that you take for another one"),
            ("same_as", "Count what is recorded under the name as this species, on this computer only"),
            ("apart", "Count it by itself again"),
        ],
    },
];
