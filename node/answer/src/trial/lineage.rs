//! Trials that follow one another: each has its own number put in, and none is an arm of the other.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_bench::{Bench, Relation, Stage, Trial};

/// A trial that follows another one, or that it follows.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Follower {
    /// Its code.
    pub trial: String,
    /// How the later one follows the earlier one.
    pub relation: Relation,
    /// The lead outcome at its first stage; none while not all is known.
    pub count: Option<u32>,
    /// Started.
    pub of: u32,
    /// Alive with the outcome now.
    pub rooted_alive: u32,
}

/// The trials that belong to this one.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Lineage {
    /// The trial that it follows.
    pub parent: Option<Follower>,
    /// Trials that follow it, in the order in which they were set up.
    pub children: Vec<Follower>,
    /// Stocks of this trial that carry a scion now, those that were worked again among them; of all its stocks.
    pub stocks_with_scion: Option<(u32, u32)>,
}

pub(super) fn of(bench: &Bench, trial: &Trial) -> Lineage {
    let parent = trial.parent.as_deref().and_then(|code| bench.trial(code)).zip(trial.follows());
    let children = bench.trials().filter(|other| other.parent.as_deref() == Some(trial.code.as_str()));
    let children: Vec<Follower> =
        children.filter_map(|child| Some(follower(bench, child, child.follows()?))).collect();
    let again = children.iter().filter(|child| child.relation == Relation::Regraft);
    let again: Vec<u32> = again.map(|child| child.rooted_alive).collect();
    let own = bench.season(trial).all_now();
    let stocks = (own.rooted_alive + again.iter().sum::<u32>()).min(own.started);
    Lineage {
        parent: parent.map(|(parent, relation)| follower(bench, parent, relation)),
        stocks_with_scion: (!again.is_empty()).then_some((stocks, own.started)),
        children,
    }
}

fn follower(bench: &Bench, trial: &Trial, relation: Relation) -> Follower {
    let season = bench.season(trial);
    let lead = |arm: &propagule_bench::Arm| {
        season.at_stage(arm.number, Stage::Lift).and_then(|found| found.lead(Stage::Lift))
    };
    Follower {
        trial: trial.code.clone(),
        relation,
        count: trial.arms.iter().map(lead).sum(),
        of: trial.started(),
        rooted_alive: season.all_now().rooted_alive,
    }
}
