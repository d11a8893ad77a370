//! The slots of every sentence, by kind of propagation and by dialect: what growers of that kind say at the bench.

use propagule_bench::kind::Kind;
use propagule_bench::locale::Dialect;

/// The slots that a kind fills.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Slots {
    /// One of them: cutting, graft; empty where kinds are mixed.
    pub unit: &'static str,
    /// Several of them.
    pub units: &'static str,
    /// Begins a request: Stick, Graft.
    pub start: &'static str,
    /// Behind a number of them: stuck, grafted.
    pub started: &'static str,
    /// What is being done: sticking, grafting.
    pub starting: &'static str,
    /// Behind a count: rooted, took.
    pub ok: &'static str,
    /// As a heading, in small letters: rooted, taken.
    pub lead: &'static str,
    /// To root, to take.
    pub to_ok: &'static str,
    /// Had rooted, had taken.
    pub oked: &'static str,
    /// Rooting, taking.
    pub oking: &'static str,
    /// What is looked for in a pot: rooting, take, germination.
    pub looked_for: &'static str,
    /// Alive without it, behind a count.
    pub green: &'static str,
    /// Growing on after the first stage: established, pricked out.
    pub established: &'static str,
    /// The command that starts them, by the word of this kind.
    pub start_command: &'static str,
    /// Its counts, in the order of the stages.
    pub stages: [StageSlots; 4],
}

/// The words of a stage of a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StageSlots {
    /// The word it may be typed by beside lift, season, spring and final.
    pub command: &'static str,
    /// Without its article: take count.
    pub name: &'static str,
    /// What succeeded there, behind a count: rooted, took, sound, finished.
    pub ok: &'static str,
    /// The same as a heading: rooted, taken, sound, finished.
    pub lead: &'static str,
    /// Behind "did not": root, take, stay sound, finish.
    pub to_ok: &'static str,
}

const fn stage(
    command: &'static str,
    name: &'static str,
    ok: &'static str,
    lead: &'static str,
    to_ok: &'static str,
) -> StageSlots {
    StageSlots { command, name, ok, lead, to_ok }
}

const FINAL: StageSlots = stage("final", "final count", "finished", "finished", "finish");

const CUTTING: Slots = Slots {
    unit: "cutting",
    units: "cuttings",
    start: "Stick",
    started: "stuck",
    starting: "sticking",
    ok: "rooted",
    lead: "rooted",
    to_ok: "root",
    oked: "rooted",
    oking: "rooting",
    looked_for: "rooting",
    green: "still green, not rooted",
    established: "established",
    start_command: "stick",
    stages: [
        stage("lift", "lift count", "rooted", "rooted", "root"),
        stage("season", "weaning count", "rooted", "rooted", "root"),
        stage("spring", "spring count", "rooted", "rooted", "root"),
        FINAL,
    ],
};

const GRAFT: Slots = Slots {
    unit: "graft",
    units: "grafts",
    start: "Graft",
    started: "grafted",
    starting: "grafting",
    ok: "took",
    lead: "taken",
    to_ok: "take",
    oked: "taken",
    oking: "taking",
    looked_for: "take",
    green: "still green, not yet taken",
    established: "established",
    start_command: "graft",
    stages: [
        stage("take", "take count", "took", "taken", "take"),
        stage("season", "season-end count", "growing on", "growing on", "grow on"),
        stage("spring", "spring count", "sound", "sound", "stay sound"),
        FINAL,
    ],
};

const BUD: Slots = Slots {
    unit: "bud",
    units: "buds",
    start: "Bud",
    started: "budded",
    starting: "budding",
    start_command: "bud",
    stages: [
        stage("take", "bud take count", "took", "taken", "take"),
        stage("season", "season-end count", "growing on", "growing on", "grow on"),
        stage("spring", "spring count", "pushed", "pushed", "push"),
        FINAL,
    ],
    ..GRAFT
};

const SEED: Slots = Slots {
    unit: "seed",
    units: "seeds",
    start: "Sow",
    started: "sown",
    starting: "sowing",
    ok: "germinated",
    lead: "germinated",
    to_ok: "germinate",
    oked: "germinated",
    oking: "germinating",
    looked_for: "germination",
    green: "still sound, not germinated",
    established: "pricked out",
    start_command: "sow",
    stages: [
        stage("germination", "germination count", "germinated", "germinated", "germinate"),
        stage("season", "count at pricking out", "germinated", "germinated", "germinate"),
        stage("spring", "spring count", "germinated", "germinated", "germinate"),
        FINAL,
    ],
};

const LAYER: Slots = Slots {
    unit: "layer",
    units: "layers",
    start: "Layer",
    started: "layered",
    starting: "layering",
    green: "still alive, not rooted",
    start_command: "layer",
    stages: [
        stage("severed", "lift count", "rooted", "rooted", "root"),
        stage("season", "weaning count", "rooted", "rooted", "root"),
        stage("spring", "spring count", "rooted", "rooted", "root"),
        FINAL,
    ],
    ..CUTTING
};

const DIVISION: Slots = Slots {
    unit: "division",
    units: "divisions",
    start: "Plant",
    started: "planted",
    starting: "planting",
    ok: "grew",
    lead: "growing",
    to_ok: "grow",
    oked: "grown",
    oking: "growing",
    looked_for: "growth",
    green: "still alive, not growing",
    established: "established",
    start_command: "divide",
    stages: [
        stage("first", "first count", "grew", "growing", "grow"),
        stage("season", "season-end count", "grew", "growing", "grow"),
        stage("spring", "spring count", "grew", "growing", "grow"),
        FINAL,
    ],
};

const MICROPROPAGATION: Slots = Slots {
    unit: "shoot",
    units: "shoots",
    start: "Start",
    started: "started",
    starting: "starting",
    green: "still alive, not rooted",
    established: "weaned",
    stages: [
        stage("lift", "rooting count", "rooted", "rooted", "root"),
        stage("season", "weaning count", "rooted", "rooted", "root"),
        stage("spring", "spring count", "rooted", "rooted", "root"),
        FINAL,
    ],
    ..CUTTING
};

const MIXED: Slots = Slots {
    unit: "",
    units: "",
    start: "Start",
    started: "started",
    starting: "starting",
    ok: "succeeded",
    lead: "succeeded",
    to_ok: "succeed",
    oked: "succeeded",
    oking: "success",
    looked_for: "success",
    green: "still alive, not there yet",
    established: "established",
    start_command: "stick",
    stages: [
        stage("first", "first count", "succeeded", "succeeded", "succeed"),
        stage("season", "season-end count", "growing on", "growing on", "grow on"),
        stage("spring", "spring count", "succeeded", "succeeded", "succeed"),
        FINAL,
    ],
};

/// Results of any kind, in the words of what is published: there every success is called rooted.
const RESULTS: Slots = Slots {
    ok: CUTTING.ok,
    lead: CUTTING.lead,
    to_ok: CUTTING.to_ok,
    oked: CUTTING.oked,
    oking: CUTTING.oking,
    looked_for: CUTTING.looked_for,
    green: "still alive, not rooted",
    stages: CUTTING.stages,
    ..MIXED
};

impl Slots {
    /// What is said of published results of several kinds, or of none that is known.
    pub const fn of_results() -> Self {
        RESULTS
    }

    /// The same for those that are named more exactly: of divisions suckers, runners, offsets or pieces of a bulb.
    #[must_use]
    pub fn named(self, kind: &str) -> Self {
        let [unit, units] = match kind {
            "sucker" => ["sucker", "suckers"],
            "runner" => ["runner", "runners"],
            "offset" => ["offset", "offsets"],
            "bulb splitting" => ["bulb piece", "bulb pieces"],
            _ => return self,
        };
        Self { unit, units, ..self }
    }

    /// What growers of a kind and dialect say.
    pub const fn of(kind: Kind, dialect: Dialect) -> Self {
        let all = match kind {
            Kind::Cutting => CUTTING,
            Kind::Graft => GRAFT,
            Kind::Bud => BUD,
            Kind::Seed => SEED,
            Kind::Layer => LAYER,
            Kind::Division => DIVISION,
            Kind::Micropropagation => MICROPROPAGATION,
            Kind::Mixed => MIXED,
        };
        match (kind, dialect) {
            (Kind::Cutting, Dialect::Au) => {
                let words = Self { start: "Strike", started: "struck", starting: "striking", ..all };
                Self { start_command: "strike", ..words }
            }
            _ => all,
        }
    }
}

/// Trade words and spellings that differ between dialects, kind or not: US, UK, AU and NZ.
const WORDS: [(&str, [&str; 3]); 26] = [
    ("Stock plants", ["Stock plants", "Stock plants", "Mother plants"]),
    ("stock plant", ["stock plant", "stock plant", "mother plant"]),
    ("graft tape", ["graft tape", "tie", "grafting tape"]),
    ("tape cut", ["graft tape cut", "tie cut", "grafting tape cut"]),
    ("mold", ["mold", "mould", "mould"]),
    ("gray mold", ["gray mold", "grey mould", "grey mould"]),
    (
        "roots at the drain hole",
        ["roots at the drain hole", "roots at the drainage hole", "roots at the drainage hole"],
    ),
    ("pot up", ["pot up", "pot on", "pot up"]),
    ("wean", ["wean off mist", "wean", "wean"]),
    ("semi-hardwood", ["semi-hardwood", "semi-ripe", "semi-hardwood"]),
    ("rooting mix", ["rooting mix", "cutting compost mix", "propagating mix"]),
    ("hoop house", ["hoop house", "polytunnel", "polyhouse"]),
    ("greenhouse", ["greenhouse", "greenhouse", "glasshouse"]),
    ("cell tray", ["cell tray", "module tray", "cell tray"]),
    ("flat", ["flat", "seed tray", "tray"]),
    ("plastic tent", ["plastic tent", "polythene tent", "plastic tent"]),
    ("evergreen hardwood", ["evergreen hardwood", "ripe wood", "evergreen hardwood"]),
    ("potting mix", ["potting mix", "potting compost", "potting mix"]),
    ("seed and cutting mix", ["seed and cutting mix", "seed and cutting compost", "seed and cutting mix"]),
    ("leaf mold", ["leaf mold", "leaf mould", "leaf mould"]),
    ("wood fiber", ["wood fiber", "wood fibre", "wood fibre"]),
    ("indoors", ["indoors", "indoors", "indoors"]),
    ("color", ["color", "colour", "colour"]),
    ("vapor", ["vapor", "vapour", "vapour"]),
    ("license", ["license", "licence", "licence"]),
    ("center", ["center", "centre", "centre"]),
];

/// All words that differ between dialects, by their US form.
pub fn dialect_words() -> impl Iterator<Item = (&'static str, [&'static str; 3])> {
    WORDS.into_iter()
}

/// A trade word as a dialect has it; a word that is the same in all stands for itself.
pub fn in_dialect(us: &'static str, dialect: Dialect) -> &'static str {
    let place = match dialect {
        Dialect::Us => 0,
        Dialect::Uk => 1,
        Dialect::Au => 2,
    };
    WORDS.iter().find(|(word, _)| *word == us).map_or(us, |(_, words)| words[place])
}
