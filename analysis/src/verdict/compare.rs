//! The numbers of two arms under one design.

use super::numbers::{difference, widened};
use super::pots::{Dispersion, dispersion, prior_spread};
use super::{CLEAR, Design, Verdict};
use crate::Pair;
use crate::exact::{self, Conditional, OddsRatio};
use crate::{Count, student};

/// Largest arm for which Boschloo's test, which goes through all tables, is worth its time.
const BOSCHLOO_MOST: u32 = 150;

/// Everything that is computed of two arms.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// How the arms stand to each other.
    pub design: Design,
    /// Both arms stratum by stratum.
    pub strata: Vec<Pair>,
    /// Both arms over all strata.
    pub totals: Pair,
    /// Exact p within strata as if every piece were independent, two-sided.
    pub p_exact: f64,
    /// How much more pots differ than pieces would; `None` where the design has no pots to judge by.
    pub pots: Option<Dispersion>,
    /// By what the likelihood of the pair is tempered: moderated, 1 for pieces, the prior value where there is one pot.
    pub phi: Option<f64>,
    /// Moderated t of the pots.
    pub t: Option<f64>,
    /// Its two-sided p.
    pub p_pots: Option<f64>,
    /// The p that counts: the larger of the two, alone where pieces are the units; `None` where none may be given.
    pub p: Option<f64>,
    /// Difference of rates, first less second, with its 95 % limits.
    pub difference: Option<[f64; 3]>,
    /// Whether the limits were moved out so that they agree with `p`.
    pub is_widened: bool,
    /// Fisher's p of the totals.
    pub fisher_on_totals: f64,
    /// What this pair by itself says: better, cannot tell, single unit or nothing to see.
    pub verdict: Verdict,
}

impl Comparison {
    /// Odds ratio over all strata, as if every piece were independent; `None` where there is nothing to see.
    pub fn odds_ratio(&self) -> Option<OddsRatio> {
        exact::stratified_odds_ratio(&self.strata, 0.95)
    }

    /// Boschloo's p, of one stratum of pots and of arms up to 150 pieces: it goes through all tables, so it is computed only
    /// when it is asked for.
    pub fn boschloo(&self) -> Option<f64> {
        let is_small = self.totals.first.started.max(self.totals.second.started) <= BOSCHLOO_MOST;
        let is_of_pots = matches!(self.design, Design::Single | Design::Pots);
        (self.strata.len() == 1 && is_small && is_of_pots)
            .then(|| exact::boschloo(self.totals.first, self.totals.second))
            .flatten()
    }

    /// Whether the first arm did better, by the sign of the difference; `None` where there is none.
    pub(crate) fn first_is_ahead(&self) -> Option<bool> {
        self.difference.map(|d| d[0] > 0.0)
    }

    /// Whether the limits of the difference leave zero out.
    fn leaves_zero_out(&self) -> bool {
        self.difference.is_some_and(|[_, low, high]| low * high > 0.0)
    }
}

/// Compares two arms, given stratum by stratum (one stratum for pots and a single pot), and, for designs `Pots` and
/// `Factorial` without blocks, the pots of each cell. Strata that lack an arm must have been left out; so must empty pots.
///
/// ```
/// use propagule_analysis::Pair;
/// use propagule_analysis::verdict::{Design, Verdict, compare};
/// use propagule_analysis::Count;
///
/// let pots = |all: [u32; 3]| all.map(|succeeded| Count { started: 10, succeeded }).to_vec();
/// let totals = Pair { first: Count { started: 30, succeeded: 21 }, second: Count { started: 30, succeeded: 8 } };
/// let found = compare(Design::Pots, &[totals], &[pots([7, 8, 6]), pots([2, 3, 3])]);
/// assert_eq!(found.verdict, Verdict::Better);
/// assert!(found.p > Some(found.p_exact));
/// ```
pub fn compare(design: Design, strata: &[Pair], cells: &[Vec<Count>]) -> Comparison {
    let totals = totals(strata);
    let fisher_on_totals = exact::fisher_two_sided(totals.first, totals.second);
    let mut out = Comparison {
        design,
        strata: strata.to_vec(),
        totals,
        p_exact: exact::stratified_two_sided(strata),
        pots: None,
        phi: None,
        t: None,
        p_pots: None,
        p: None,
        difference: None,
        is_widened: false,
        fisher_on_totals,
        verdict: Verdict::NothingToSee,
    };
    if strata.is_empty() {
        // No block holds both arms: nothing stands beside anything.
        (out.design, out.verdict) = (Design::Single, Verdict::SingleUnit);
        return out;
    }
    if Conditional::new(strata).says_nothing() {
        return out;
    }
    match design {
        Design::Single => single(&mut out),
        Design::Pieces => tested(&mut out, None),
        Design::Pots | Design::Blocks | Design::Factorial => match dispersion(design, strata, cells) {
            Some(pots) => tested(&mut out, Some(pots)),
            None => single(&mut out),
        },
    }
    out
}

/// Both arms, all strata together.
pub(super) fn totals(strata: &[Pair]) -> Pair {
    let add =
        |a: Count, b: Count| Count { started: a.started + b.started, succeeded: a.succeeded + b.succeeded };
    let none = Count { started: 0, succeeded: 0 };
    strata.iter().fold(Pair { first: none, second: none }, |sum, pair| Pair {
        first: add(sum.first, pair.first),
        second: add(sum.second, pair.second),
    })
}

/// One pot in an arm: the numbers as if pieces were independent, and no p.
fn single(out: &mut Comparison) {
    let pieces = f64::from(out.totals.first.started + out.totals.second.started);
    out.design = Design::Single;
    out.phi = Some(prior_spread(pieces / 2.0));
    out.difference = Some(difference(out.design, &out.strata, 1.0, None));
    out.verdict = Verdict::SingleUnit;
}

/// The larger of both p values, and limits that agree with it.
fn tested(out: &mut Comparison, pots: Option<Dispersion>) {
    let mut p = out.p_exact;
    let (mut phi, mut df) = (1.0, None);
    if let Some(pots) = pots {
        let sums = exact::mantel_haenszel(&out.strata);
        let t = sums.excess / (pots.phi * sums.variance).sqrt();
        let p_pots = student::two_sided(t, pots.t_df());
        (phi, df) = (pots.phi, Some(pots.t_df()));
        p = p.max(p_pots);
        (out.t, out.p_pots) = (Some(t), Some(p_pots));
    }
    let plain = difference(out.design, &out.strata, phi, df);
    let wide = widened(plain, p);
    (out.pots, out.phi, out.p) = (pots, Some(phi), Some(p));
    out.is_widened = wide.map(f64::to_bits) != plain.map(f64::to_bits);
    out.difference = Some(wide);
    out.verdict = if p <= CLEAR && out.leaves_zero_out() { Verdict::Better } else { Verdict::CannotTell };
}
