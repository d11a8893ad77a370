//! Made-up corpora: species in genera, methods, growers with skill, trials of two arms.

use propagule_analysis::Count;
use propagule_analysis::table::{ArmTable, CountedArm};

use crate::random::Random;

/// Methods, how often each is tried, and numbers of pieces.
pub(crate) const METHODS: usize = 5;
const TRIED: [f64; METHODS] = [0.35, 0.25, 0.20, 0.12, 0.08];
const PIECES: [u32; 4] = [8, 16, 24, 40];

/// What is special in a world.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Twist {
    None,
    /// A part of growers reports rates drawn at random.
    Absurd(f64),
    /// Each species and method has its own level and spread, as the default model's prior has it.
    Default,
    /// Spreads of 0.3 or, of one in five, 2.5; arms are independent.
    Uneven,
}

/// A world: its overall level, the spreads of genera, species, methods, genera by method, species by method, growers, trials and
/// arms, the number of species, growers and trials, and the first seed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct World {
    pub(crate) name: &'static str,
    pub(crate) level: f64,
    pub(crate) sd: [f64; 8],
    pub(crate) sizes: [usize; 3],
    pub(crate) twist: Twist,
    pub(crate) seed: u64,
}

const USUAL: [usize; 3] = [60, 80, 250];
const STRONG: [f64; 8] = [0.7, 0.5, 0.7, 0.5, 0.4, 0.6, 0.5, 0.3];

pub(crate) fn worlds() -> Vec<World> {
    let world = |name, level, sd, twist, seed| World { name, level, sd, sizes: USUAL, twist, seed };
    vec![
        world("W1 strong structure", -1.5, STRONG, Twist::None, 4_000),
        world("W2 no structure", -1.5, [0.0, 0.0, 0.0, 0.0, 1.28, 0.0, 0.78, 0.3], Twist::None, 5_000),
        world("W3 skill and method", -2.0, [0.3, 0.5, 1.2, 0.2, 0.3, 1.0, 0.4, 0.3], Twist::None, 6_000),
        world("W4 absurd growers", -1.5, STRONG, Twist::Absurd(0.08), 7_000),
        world("W5 default prior", 0.0, [0.0; 8], Twist::Default, 8_000),
        World { sizes: [10, 15, 30], ..world("W6 tiny", -1.5, STRONG, Twist::None, 9_000) },
        world("W7 uneven spreads", -2.0, [0.5, 0.5, 0.5, 0.3, 0.4, 0.0, 0.0, 0.0], Twist::Uneven, 10_000),
        world("W8 growers agree", -3.0, [0.5, 0.5, 0.4, 0.2, 0.3, 0.15, 0.2, 0.1], Twist::None, 11_000),
    ]
}

impl World {
    /// The spreads that it is drawn from; none where it is drawn from another model.
    pub(crate) fn spreads(&self) -> Option<[f64; 8]> {
        matches!(self.twist, Twist::None | Twist::Absurd(_)).then_some(self.sd)
    }
}

/// A corpus with the truth of every species and method.
pub(crate) struct Corpus {
    pub(crate) arms: Vec<CountedArm>,
    pub(crate) genus: Vec<usize>,
    growers: usize,
    genera: usize,
    /// Mean log odds over growers, and the spread of a new grower's trial.
    pub(crate) truth: Vec<(f64, f64)>,
}

impl Corpus {
    pub(crate) fn draw(world: &World, random: &mut Random) -> Self {
        let [species, growers, trials] = world.sizes;
        let genera = (species / 3).max(3);
        let below = |random: &mut Random, n: usize| random.whole(0, n as u32 - 1) as usize;
        let genus: Vec<usize> = (0..species).map(|_| below(random, genera)).collect();
        let counts = [genera, species, METHODS, genera * METHODS, species * METHODS, growers];
        let effects: Vec<Vec<f64>> = counts
            .iter()
            .zip(world.sd)
            .map(|(count, sd)| (0..*count).map(|_| sd * random.normal()).collect())
            .collect();
        let spread = world.sd[5..].iter().map(|sd| sd * sd).sum::<f64>().sqrt();
        let mut truth = Vec::new();
        for cell in 0..species * METHODS {
            let (s, m) = (cell / METHODS, cell % METHODS);
            let g = genus[s];
            let own = effects[0][g]
                + effects[1][s]
                + effects[2][m]
                + effects[3][g * METHODS + m]
                + effects[4][cell];
            truth.push(match world.twist {
                Twist::Default => (random.logistic(), random.normal().abs()),
                Twist::Uneven => (world.level + own, if random.uniform() < 0.2 { 2.5 } else { 0.3 }),
                _ => (world.level + own, spread),
            });
        }
        let is_absurd: Vec<bool> = (0..growers)
            .map(|_| matches!(world.twist, Twist::Absurd(share) if random.uniform() < share))
            .collect();
        let known: Vec<f64> = (1..=species).map(|rank| (rank as f64).powf(-0.7)).collect();
        let mut arms = Vec::new();
        for trial in 0..trials {
            let (s, grower) = (one_of(&known, random), below(random, growers));
            let of_trial = world.sd[6] * random.normal();
            let first = one_of(&TRIED, random);
            let second = loop {
                let other = one_of(&TRIED, random);
                if other != first {
                    break other;
                }
            };
            for m in [first, second] {
                let (level, spread) = truth[s * METHODS + m];
                let away = match world.twist {
                    Twist::Default | Twist::Uneven => spread * random.normal(),
                    _ => effects[5][grower] + of_trial + world.sd[7] * random.normal(),
                };
                let rate =
                    if is_absurd[grower] { random.uniform() } else { 1.0 / (1.0 + (-level - away).exp()) };
                let started = PIECES[below(random, PIECES.len())];
                arms.push(CountedArm {
                    grower,
                    trial,
                    levels: vec![Some(genus[s]), Some(s), Some(m)],
                    count: Count { started, succeeded: random.binomial(started, rate) },
                    replicates: 1,
                });
            }
        }
        Self { arms, genus, growers, genera, truth }
    }

    pub(crate) fn table(&self) -> ArmTable {
        let levels = vec![self.genera, self.genus.len(), METHODS];
        ArmTable::new(levels, vec![1.0; self.growers], self.arms.clone()).expect("drawn within its levels")
    }
}

/// A place by its share.
fn one_of(shares: &[f64], random: &mut Random) -> usize {
    let mut left = random.uniform() * shares.iter().sum::<f64>();
    for (place, share) in shares.iter().enumerate() {
        left -= share;
        if left < 0.0 {
            return place;
        }
    }
    shares.len() - 1
}
