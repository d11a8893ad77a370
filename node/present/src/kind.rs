//! Words by the kind of propagation: the record keeps one set of keys, and each screen says what its growers say.

use propagule_bench::kind::Kind;
use propagule_bench::{Stage, Trial};

/// The words of a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KindWords {
    /// What was done to the pieces: stuck, grafted, sown.
    pub started: &'static str,
    /// The lead outcome: rooted, taken, germinated.
    pub lead: &'static str,
    /// Behind "had": rooted, taken, come up.
    pub had: &'static str,
    /// What is looked for: roots, take, germination.
    pub looked_for: &'static str,
    /// Alive without it: green, undecided, not up yet.
    pub waiting: &'static str,
    /// Alive with it, behind "of them": with roots, taken, germinated.
    pub with: &'static str,
    /// Behind "died": without roots, without taking.
    pub without: &'static str,
    /// Growing on after the first stage: established, pricked out.
    pub established: &'static str,
    /// The command that puts pieces in, by the word of this kind.
    pub start_command: &'static str,
    stages: [StageWords; 4],
}

/// The words of a stage of a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct StageWords {
    /// The word it may be typed by beside lift, season, spring and final.
    command: &'static str,
    /// Behind "at": the take count.
    name: &'static str,
    /// What succeeded there: rooted, taken, sound, finished.
    outcome: &'static str,
    /// What is to be done: lift and count.
    task: &'static str,
}

const fn stage(
    command: &'static str,
    name: &'static str,
    outcome: &'static str,
    task: &'static str,
) -> StageWords {
    StageWords { command, name, outcome, task }
}

const FINAL: StageWords = stage("final", "the final count", "finished", "final count");

const CUTTING: KindWords = KindWords {
    started: "stuck",
    start_command: "stick",
    lead: "rooted",
    had: "rooted",
    looked_for: "roots",
    waiting: "green",
    with: "with roots",
    without: "without roots",
    established: "established",
    stages: [
        stage("lift", "lift", "rooted", "lift and count"),
        stage("season", "weaning", "rooted", "weaning count"),
        stage("spring", "the spring count", "rooted", "spring count"),
        FINAL,
    ],
};

const GRAFT: KindWords = KindWords {
    started: "grafted",
    start_command: "graft",
    lead: "taken",
    had: "taken",
    looked_for: "take",
    waiting: "undecided",
    with: "taken",
    without: "without taking",
    established: "established",
    stages: [
        stage("take", "the take count", "taken", "take count"),
        stage("season", "season end", "growing on", "season end count"),
        stage("spring", "the spring count", "sound", "spring count of sound unions"),
        FINAL,
    ],
};

const BUD: KindWords = KindWords {
    started: "budded",
    start_command: "bud",
    stages: [
        stage("take", "the take count", "taken", "take count"),
        stage("season", "season end", "growing on", "season end count"),
        stage("spring", "the spring count", "pushed", "spring count of buds that pushed"),
        FINAL,
    ],
    ..GRAFT
};

const SEED: KindWords = KindWords {
    started: "sown",
    start_command: "sow",
    lead: "germinated",
    had: "germinated",
    looked_for: "germination",
    waiting: "not up yet",
    with: "germinated",
    without: "without germinating",
    established: "pricked out",
    stages: [
        stage("germination", "the germination count", "germinated", "germination count"),
        stage("season", "pricking out", "germinated", "count at pricking out"),
        stage("spring", "the spring count", "germinated", "spring count"),
        FINAL,
    ],
};

const LAYER: KindWords = KindWords {
    started: "layered",
    start_command: "layer",
    waiting: "attached and green",
    stages: [
        stage("severed", "severing", "rooted", "sever and count"),
        stage("season", "weaning", "rooted", "weaning count"),
        stage("spring", "the spring count", "rooted", "spring count"),
        FINAL,
    ],
    ..CUTTING
};

const DIVISION: KindWords = KindWords {
    started: "divided",
    start_command: "divide",
    lead: "re-rooted",
    had: "re-rooted",
    with: "with new roots",
    without: "without new roots",
    looked_for: "new roots",
    stages: [
        stage("first", "the first count", "re-rooted", "first count"),
        stage("season", "season end", "re-rooted", "count of those established"),
        stage("spring", "the spring count", "re-rooted", "spring count"),
        FINAL,
    ],
    ..CUTTING
};

const MIXED: KindWords = KindWords {
    started: "started",
    start_command: "stick",
    lead: "successful",
    had: "succeeded",
    looked_for: "success",
    waiting: "undecided",
    with: "successful",
    without: "without success",
    established: "established",
    stages: [
        stage("first", "the first count", "successful", "first count"),
        stage("season", "season end", "growing on", "season end count"),
        stage("spring", "the spring count", "successful", "spring count"),
        FINAL,
    ],
};

impl KindWords {
    /// The words of a kind.
    pub const fn of(kind: Kind) -> Self {
        match kind {
            Kind::Cutting => CUTTING,
            Kind::Graft => GRAFT,
            Kind::Bud => BUD,
            Kind::Seed => SEED,
            Kind::Layer => LAYER,
            Kind::Division => DIVISION,
            Kind::Mixed => MIXED,
        }
    }

    /// The words of a trial.
    pub fn of_trial(trial: &Trial) -> Self {
        Self::of(trial.kind())
    }

    const fn stage(&self, stage: Stage) -> &StageWords {
        match stage {
            Stage::Lift => &self.stages[0],
            Stage::Season => &self.stages[1],
            Stage::Spring => &self.stages[2],
            Stage::Final => &self.stages[3],
        }
    }

    /// What succeeded at a stage.
    pub const fn outcome(&self, stage: Stage) -> &'static str {
        self.stage(stage).outcome
    }

    /// The stage behind "at".
    pub const fn at(&self, stage: Stage) -> &'static str {
        self.stage(stage).name
    }

    /// The stage without its article.
    pub fn name(&self, stage: Stage) -> &'static str {
        let name = self.stage(stage).name;
        name.strip_prefix("the ").unwrap_or(name)
    }

    /// The stage as a heading.
    pub fn title(&self, stage: Stage) -> String {
        capital(self.name(stage))
    }

    /// What was done at the first stage, before "after 18 weeks".
    pub fn first_count_done(&self) -> &'static str {
        match self.name(Stage::Lift) {
            "lift" => "lifted",
            "severing" => "severed",
            count => count,
        }
    }

    /// What is to be done at a stage.
    pub const fn task(&self, stage: Stage) -> &'static str {
        self.stage(stage).task
    }

    /// The command that counts a stage, by the word of this kind.
    pub const fn command(&self, stage: Stage) -> &'static str {
        self.stage(stage).command
    }

    /// A counted state, under the word of this kind.
    pub fn state(&self, key: &str) -> String {
        match key {
            "rooted" => self.lead.to_owned(),
            "green" => self.waiting.to_owned(),
            "established" => self.established.to_owned(),
            "of-rooted" | "of_rooted" => format!("of the dead {}", self.with),
            other => other.replace(['-', '_'], " "),
        }
    }

    /// How pieces were started, behind a number of them: nobody says of a number that it was stuck.
    pub fn put_in(&self) -> &'static str {
        if self.started == "stuck" { "put in" } else { self.started }
    }

    /// An example of a grower's own rule for the lead outcome.
    pub fn rule_example(&self) -> &'static str {
        match self.lead {
            "taken" => "Such as: new growth from the scion",
            "germinated" => "Such as: seed leaves open",
            "successful" => "Such as: new growth",
            _ => "Where roots are not seen, such as: resists a gentle tug",
        }
    }

    /// Examples of what may be counted beside the usual.
    pub fn more_counts(&self) -> &'static str {
        match self.lead {
            "taken" => "Such as callused=3, leafing=4, grade=0/1/2/5",
            "germinated" => "Such as yellow=2, mould=some, grade=0/1/2/5",
            _ => "Such as callused=3, yellow=2, leafing=4, root-counts=3/5/2, longest-root=40, grade=0/1/2/5",
        }
    }

    /// The word under which those without the lead outcome are typed.
    pub fn typed_waiting(&self) -> &'static str {
        match self.waiting {
            "undecided" => "undecided",
            "not up yet" => "waiting",
            _ => "green",
        }
    }

    /// Heading of what was scored piece by piece.
    pub fn title_of_scores(&self) -> String {
        if self.looked_for.ends_with("roots") { "Roots".to_owned() } else { "Scores".to_owned() }
    }

    /// `roots not looked for`.
    pub fn not_looked_for(&self) -> String {
        format!("{} not looked for", self.looked_for)
    }
}

/// With its first letter large.
pub fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_kind_says_its_own_words() {
        let said = |kind| {
            let words = KindWords::of(kind);
            (words.started, words.outcome(Stage::Lift), words.waiting, words.at(Stage::Lift))
        };
        assert_eq!(said(Kind::Cutting), ("stuck", "rooted", "green", "lift"));
        assert_eq!(said(Kind::Graft), ("grafted", "taken", "undecided", "the take count"));
        assert_eq!(said(Kind::Bud), ("budded", "taken", "undecided", "the take count"));
        assert_eq!(said(Kind::Seed), ("sown", "germinated", "not up yet", "the germination count"));
        assert_eq!(said(Kind::Layer), ("layered", "rooted", "attached and green", "severing"));
        assert_eq!(said(Kind::Division), ("divided", "re-rooted", "green", "the first count"));
        assert_eq!(KindWords::of(Kind::Bud).outcome(Stage::Spring), "pushed");
    }

    #[test]
    fn every_kind_ends_with_finished_plants() {
        assert!(Kind::ALL.iter().all(|kind| KindWords::of(*kind).outcome(Stage::Final) == "finished"));
    }

    #[test]
    fn the_first_count_is_behind() {
        let said = |kind| KindWords::of(kind).first_count_done();
        assert_eq!([Kind::Cutting, Kind::Layer, Kind::Graft].map(said), ["lifted", "severed", "take count"]);
    }

    #[test]
    fn titles_have_no_article() {
        assert_eq!(KindWords::of(Kind::Seed).title(Stage::Lift), "Germination count");
        assert_eq!(KindWords::of(Kind::Cutting).title(Stage::Lift), "Lift");
    }
}
