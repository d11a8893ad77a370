//! A trial set up, put in and counted as a case says, by the commands that a grower gives.

use crate::home::TestHome;

/// The plant of all of them.
pub(crate) const SPECIES: &str = "Morus nigra";
/// What the first arm of a pair had where a case only calls it the first: the word of the schema.
pub(crate) const DIP: &str = "IBA quick dip 3000 mg/L";
/// What the other arm had.
pub(crate) const NONE: &str = "none";

const PUT_IN: &str = "2026-06-01";
const LIFTED: &str = "2026-08-20";

/// Pieces of an arm in one pot, or in its part of a shared one.
#[derive(Clone, Debug, Default)]
pub(crate) struct Pot {
    pub(crate) started: u64,
    pub(crate) rooted: u64,
    pub(crate) lost: u64,
    pub(crate) done_by: Option<String>,
}

impl Pot {
    pub(crate) fn new(rooted: u64, started: u64) -> Self {
        Self { started, rooted, ..Self::default() }
    }
}

/// One treatment.
#[derive(Clone, Debug)]
pub(crate) struct Arm {
    pub(crate) label: String,
    /// `key=value; key=value`.
    pub(crate) facets: String,
    pub(crate) pots: Vec<Pot>,
}

/// How the pots of the arms stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Layout {
    /// Pots of their own, wherever there is room.
    Apart,
    /// A pot of each arm in each row of the layout.
    Blocks,
    /// Pots, or stock plants, that hold pieces of every arm.
    Shared,
}

/// A trial with its counts.
#[derive(Clone, Debug)]
pub(crate) struct Laid {
    pub(crate) code: String,
    pub(crate) kind: &'static str,
    pub(crate) arms: Vec<Arm>,
    pub(crate) layout: Layout,
    /// The arm that the others are held against; none leaves it to the program.
    pub(crate) control: Option<String>,
}

impl Laid {
    pub(crate) fn new(code: &str, layout: Layout, arms: Vec<Arm>) -> Self {
        Self { code: code.to_owned(), kind: "stem cutting", arms, layout, control: None }
    }

    /// Two arms that differ in a rooting dip alone.
    pub(crate) fn pair(code: &str, layout: Layout, first: Vec<Pot>, second: Vec<Pot>) -> Self {
        let arm = |label: &str, auxin: &str, pots| Arm {
            label: label.to_owned(),
            facets: format!("auxin={auxin}"),
            pots,
        };
        Self::new(code, layout, vec![arm("dip", DIP, first), arm("none", NONE, second)])
    }

    /// Sets it up, puts it in and counts it.
    pub(crate) fn enter(&self, home: &TestHome) {
        let names = self.names();
        let all = || names.iter().flatten().zip(self.arms.iter().flat_map(|arm| &arm.pots));
        run(home, &self.set_up(&names));
        if self.layout == Layout::Blocks {
            home.ok(&["trial", "layout", &self.code, "--seed", "7"]);
        }
        let put_in = all().map(|(name, pot)| format!("{name}={}", pot.started));
        run(home, &words(&["stick", &self.code, "--on", PUT_IN], put_in));
        let counts = all().map(|(name, pot)| {
            let lost = if pot.lost > 0 { format!(",lost={}", pot.lost) } else { String::new() };
            format!("{name}:rooted={}{lost}", pot.rooted)
        });
        run(home, &words(&["lift", &self.code, "--on", LIFTED, "--rest", "dead"], counts));
    }

    fn set_up(&self, names: &[Vec<String>]) -> Vec<String> {
        let kind = format!("kind={}", self.kind);
        let mut out = words(&["trial", "new", &self.code, SPECIES, "--on", PUT_IN, "--with", &kind], []);
        for arm in &self.arms {
            let pots = match self.layout {
                Layout::Shared => String::new(),
                _ => format!("; pots={}; pieces={}", arm.pots.len(), arm.pots[0].started),
            };
            out.extend(["--arm".to_owned(), format!("{}: {}{pots}", arm.label, arm.facets)]);
        }
        if self.layout == Layout::Shared {
            let pots = self.arms[0].pots.len();
            let pieces: u64 = self.arms.iter().flat_map(|arm| &arm.pots).map(|pot| pot.started).sum();
            let places = pieces.div_ceil(pots as u64).max(self.arms.len() as u64);
            out.extend(["--shared-pots".to_owned(), format!("{pots}x{places}")]);
        }
        if let Some(label) = &self.control {
            out.extend(["--control".to_owned(), label.clone()]);
        }
        let pots = self.arms.iter().flat_map(|arm| &arm.pots);
        for (name, pot) in names.iter().flatten().zip(pots) {
            if let Some(who) = &pot.done_by {
                out.extend(["--done-by".to_owned(), format!("{who}: {name}")]);
            }
        }
        out
    }

    /// What stands on the tag of each pot: an arm of one pot is counted under its label.
    fn names(&self) -> Vec<Vec<String>> {
        let mut next = 1;
        let name = |(at, arm): (usize, &Arm)| -> Vec<String> {
            let letter = char::from(b'A' + at as u8);
            match (self.layout, arm.pots.len()) {
                (Layout::Shared, pots) => (1..=pots).map(|pot| format!("P{pot}{letter}")).collect(),
                (_, 1) => vec![arm.label.clone()],
                (_, pots) => {
                    next += pots;
                    (next - pots..next).map(|pot| format!("P{pot}")).collect()
                }
            }
        };
        self.arms.iter().enumerate().map(name).collect()
    }
}

fn words(first: &[&str], more: impl IntoIterator<Item = String>) -> Vec<String> {
    first.iter().map(|word| (*word).to_owned()).chain(more).collect()
}

fn run(home: &TestHome, words: &[String]) {
    home.ok(&words.iter().map(String::as_str).collect::<Vec<_>>());
}

/// A home that can publish.
pub(crate) fn grower() -> TestHome {
    let home = TestHome::new();
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    home
}

/// What a home that received all records of `homes` says of the plant.
pub(crate) fn read_elsewhere<'a>(homes: impl IntoIterator<Item = &'a TestHome>) -> serde_json::Value {
    let reader = TestHome::new();
    for home in homes {
        let bundle = home.path().with_file_name("all.bundle").display().to_string();
        home.ok(&["bundle", "export", &bundle]);
        reader.ok(&["bundle", "import", &bundle, "--as-known"]);
    }
    reader.json(&["pool", SPECIES])
}
