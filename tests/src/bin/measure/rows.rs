//! The bars of the design and the programs that show them.

/// One bar.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Row {
    pub(crate) name: &'static str,
    pub(crate) bar: &'static str,
    /// All of these must do well.
    pub(crate) steps: &'static [Step],
    /// Whether it belongs to the rows that together take ten minutes.
    pub(crate) fits: bool,
}

/// A command that ends with non-zero where it falls short, and the line of its output that holds the figure.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    pub(crate) command: Command,
    /// What the line begins with.
    pub(crate) line: &'static str,
}

/// How a figure is had.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Command {
    /// A program of the `tests` crate, with its arguments.
    Program(&'static str, &'static [&'static str]),
    /// Anything else that cargo runs.
    Cargo(&'static [&'static str]),
    /// A script of the project; needs these programs beside it.
    Script(&'static str, &'static [&'static str]),
    /// Tests of the page in a browser; need the folder that this variable names.
    Browser(&'static [&'static str]),
}

const fn program(name: &'static str, arguments: &'static [&'static str], line: &'static str) -> Step {
    Step { command: Command::Program(name, arguments), line }
}

const CALIBRATION: &[&str] = &[
    "run",
    "--release",
    "--quiet",
    "-p",
    "propagule-analysis",
    "--example",
    "calibration",
    "--",
    "--sets",
    "200",
];

pub(crate) const ROWS: &[Row] = &[
    Row {
        name: "reference",
        bar: "every check within its tolerance",
        steps: &[Step {
            command: Command::Cargo(&[
                "test",
                "--release",
                "--quiet",
                "-p",
                "propagule-analysis",
                "--test",
                "reference",
                "--",
                "--nocapture",
            ]),
            line: "reference: ",
        }],
        fits: true,
    },
    Row {
        name: "calibration",
        bar: "prior-drawn 94–96 %, fixed grid 88–99 %",
        steps: &[Step { command: Command::Cargo(CALIBRATION), line: "calibration: " }],
        fits: false,
    },
    Row {
        name: "rate-speed and network-speed",
        bar: "≥ 20 × glmer, ≥ 1,000 × JAGS (200 × at 30 arms), network ≥ 20 × JAGS",
        steps: &[Step { command: Command::Script("tests/speed/run", &["Rscript", "jags"]), line: "speed: " }],
        fits: false,
    },
    Row {
        name: "query",
        bar: "≤ 50 ms remembered, ≤ 1.5 s the first time, ≤ 700 ms with a process",
        steps: &[program("query", &["--records", "1000000", "--of-species", "2000"], "query: ")],
        fits: false,
    },
    Row {
        name: "intake",
        bar: "≥ 20 % of what two cores verify",
        steps: &[program("intake", &["--records", "200000", "--authors", "4000"], "intake: ")],
        fits: true,
    },
    Row {
        name: "rejoin",
        bar: "≤ 700 KB of reconciliation, ≤ 16 round trips",
        steps: &[program("rejoin", &["--held", "1000000", "--missing", "1000"], "rejoin: ")],
        fits: true,
    },
    Row {
        name: "swarm",
        bar: "≥ 99 % by gossip, p99 < 100 ms, 100 % after one exchange, ≤ 4 MB a node",
        steps: &[program("swarm", &["--nodes", "60"], "swarm: ")],
        fits: true,
    },
    Row {
        name: "idle-100000",
        bar: "≤ 40 MB",
        steps: &[program("idle", &["--records", "100000"], "idle: ")],
        fits: true,
    },
    Row {
        name: "idle-1000000",
        bar: "≤ 150 MB",
        steps: &[program("idle", &["--records", "1000000"], "idle: ")],
        fits: false,
    },
    Row {
        name: "crash",
        bar: "nothing acknowledged is lost without being named",
        steps: &[program("crash", &["--kills", "200", "--flips", "200", "--seed", "1"], "crash: ")],
        fits: false,
    },
    Row {
        name: "poison",
        bar: "≤ 0.03 by one key among 30, ≤ 0.03 by 1,000 keys behind 10 edges",
        steps: &[program("poison", &[], "poison: ")],
        fits: false,
    },
    Row {
        name: "spy",
        bar: "≤ 0.15 at 10 % spies, ≤ 0.25 at 20 %, after a year; public after ≤ 36 h, 95 % after ≤ 84 h",
        steps: &[program("spy", &["--years", "1", "--seed", "1"], "spy: ")],
        fits: true,
    },
    Row {
        name: "knock",
        bar: "a newcomer is heard in ≤ 15 s beside silent and idle peers from 1 and 46 groups, and stays; ≤ 1 % surrounded",
        steps: &[program("knock", &["--seconds", "60"], "knock: ")],
        fits: true,
    },
    Row {
        name: "page",
        bar: "axe-core finds nothing, 360 px wide, ≤ 100 KB, ≤ 50 ms",
        steps: &[
            program("page", &[], "page: "),
            Step {
                command: Command::Browser(&[
                    "test",
                    "--release",
                    "--quiet",
                    "-p",
                    "propagule-tests",
                    "--test",
                    "page",
                    "every_room",
                ]),
                line: "test result: ",
            },
        ],
        fits: true,
    },
    Row {
        name: "simulate",
        bar: "2,000 nodes × 90 days in < 60 s, equal sets",
        steps: &[program("simulate", &["--nodes", "2000", "--days", "90", "--seed", "1"], "simulate: ")],
        fits: true,
    },
];
