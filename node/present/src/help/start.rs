//! Help of the commands under "Start".

use super::CommandHelp;

pub(super) const COMMANDS: &[CommandHelp] = &[
    CommandHelp {
        command: "init",
        first: "Make your data folder and keys",
        more: "",
        examples: &["propagule init", "propagule --home ./trial-home init --network my-group"],
        options: &[
            (
                "network",
                "Network that your data belong to, for good; growers of a group agree on a name [default: propagule]",
            ),
            ("pace", "How patient Propagule is with waiting"),
        ],
    },
    CommandHelp {
        command: "site",
        first: "Describe where you grow; only a coarse climate region is ever published",
        more: "",
        examples: &[
            "propagule site --zone 8b --hemisphere north",
            "propagule site garden --zone 8b --hemisphere north --temperature 5,5,7,9,13,16,18,18,15,12,8,5 --rain 80,60,60,50,55,55,50,60,60,80,85,85",
            "propagule site garden --zone 9a --latitude -37.5",
        ],
        options: &[
            ("name", "Your own name for it; it stays at home"),
            ("hemisphere", "Northern or southern: it sets the season"),
            (
                "latitude",
                "Latitude in degrees, south negative: sets the hemisphere and shows the day length; it is not kept",
            ),
            (
                "zone",
                "Hardiness zone such as 8b, or the coldest night of a normal winter, such as '15 F' or '-9 C'",
            ),
            ("temperature", "Mean temperature of the twelve months from January, such as 5 or 41F"),
            (
                "six",
                "Six numbers instead of twelve months, such as 5,18,760,45%,40,50: mean of the coldest and of the hottest month (5 or 41F); rain of a year (760 or 30in); its share in the warm half of the year; rain of the driest month of the warm half and of the cold half",
            ),
            ("rain", "Rain of the twelve months from January, such as 80 or 3in"),
        ],
    },
    CommandHelp {
        command: "settings",
        first: "Show or change dialect, units, country, date order, announcing",
        more: "",
        examples: &["propagule settings", "propagule settings units us", "propagule settings publishing off"],
        options: &[],
    },
    CommandHelp {
        command: "settings dialect",
        first: "Whose trade words and spelling: United States, United Kingdom, or Australia and New Zealand",
        more: "",
        examples: &["propagule settings dialect us", "propagule settings dialect au"],
        options: &[("dialect", "us, uk or au")],
    },
    CommandHelp {
        command: "settings units",
        first: "Units of what is shown; what is stored is metric",
        more: "",
        examples: &["propagule settings units us", "propagule settings units metric"],
        options: &[("units", "metric, or us for °F, inches and ppm")],
    },
    CommandHelp {
        command: "settings country",
        first: "Your country, for whom to call",
        more: "",
        examples: &["propagule settings country US", "propagule settings country NZ"],
        options: &[("code", "Its two letters")],
    },
    CommandHelp {
        command: "settings date-order",
        first: "Which comes first in a day: 5 Jun 2026 or Jun 5, 2026; a day such as 5/6 is asked about all the same",
        more: "",
        examples: &["propagule settings date-order day-first", "propagule settings date-order month-first"],
        options: &[("order", "day-first or month-first")],
    },
    CommandHelp {
        command: "settings announce",
        first: "Whether each trial is announced on the day you record it: method and number, no result",
        more: "",
        examples: &["propagule settings announce on", "propagule settings announce off"],
        options: &[],
    },
    CommandHelp {
        command: "settings publishing",
        first: "Whether your results are to be published: off refuses it, on reminds you of it",
        more: "",
        examples: &["propagule settings publishing on", "propagule settings publishing off"],
        options: &[],
    },
    CommandHelp {
        command: "settings clock",
        first: "The clock of this computer is right, though it is far ahead of all that is known",
        more: "Holds for 13 months. A wrong month would be signed into your results for ever.",
        examples: &["propagule settings clock right", "propagule settings clock checked"],
        options: &[("state", "right, or checked again against what others signed")],
    },
    CommandHelp {
        command: "serve",
        first: "Run Propagule and its page, and exchange results with other growers, until Ctrl-C",
        more: "Listens on this computer only, unless --listen, --lan or config.toml says otherwise. The address it prints lets one browser in, once.",
        examples: &[
            "propagule serve",
            "propagule serve --listen /ip4/0.0.0.0/tcp/48620",
            "propagule serve --lan",
        ],
        options: &[
            ("listen", "Address to listen on, instead of those in config.toml; may be given several times"),
            (
                "page_port",
                "Port of the page on this computer, instead of that in config.toml; 0 takes any free one",
            ),
            (
                "lan",
                "Also let phones of the local network see Today and Bench; not encrypted, each needs a code",
            ),
            (
                "find_nearby",
                "Announce yourself in the local network and look for others there; others in it learn that you run Propagule",
            ),
            ("until_input_ends", "End when the standard input ends, too: for programs that start this one"),
            ("no_page", "Serve no page"),
        ],
    },
    CommandHelp {
        command: "demo",
        first: "Play a whole season with invented growers on this computer",
        more: "",
        examples: &["propagule demo", "propagule demo --keep", "propagule demo --bad-actors"],
        options: &[
            ("keep", "Keep the data folders, and print how to go on by hand"),
            ("bad_actors", "Let some growers lie or err, and see what that moves"),
        ],
    },
];
