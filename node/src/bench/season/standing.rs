//! How many pieces of a replicate stand where, and what a new count does to that.

use super::super::entry::Tally;
use super::super::trial::Stage;

/// Pieces of a replicate, or of an arm that has none. They always add up to what was started.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Standing {
    /// Living, rooted ones included.
    pub alive: u16,
    /// Neither known alive nor known dead.
    pub not_known: u16,
    /// Dead.
    pub dead: u16,
    /// Unscored.
    pub lost: u16,
    /// Left as finished.
    pub left: u16,
    /// Left rooted but below grade: what became of them is unknown.
    pub left_below: u16,
    /// With roots at the last count that said so, among the living.
    pub rooted: Option<u16>,
}

/// What is done with pieces that a count at a stage does not mention.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Rest {
    /// They live.
    Alive,
    /// They died.
    Dead,
    /// They were not looked at closely enough to say.
    NotKnown,
}

/// Why a count cannot be.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TallyFault {
    /// Alive, dead, lost and not known do not add up.
    #[error(
        "alive {alive} + dead {dead} + lost {lost} + not known {not_known} is {sum}, but {base} were left at the last count"
    )]
    Sum {
        /// As given or worked out.
        alive: u16,
        /// Died since.
        dead: u16,
        /// Lost since.
        lost: u16,
        /// Not known.
        not_known: u16,
        /// All of them.
        sum: u32,
        /// At the last count.
        base: u16,
    },
    /// More than there are.
    #[error("{count} {what}, but only {of} {of_what}")]
    TooMany {
        /// What.
        what: &'static str,
        /// How many.
        count: u16,
        /// Of how many.
        of: u16,
        /// Of what.
        of_what: &'static str,
    },
    /// A count at a stage leaves pieces unmentioned.
    #[error("{count} of {base} are not accounted for")]
    Unaccounted {
        /// How many.
        count: u16,
        /// Of how many.
        base: u16,
    },
    /// Nothing was counted.
    #[error("nothing is counted")]
    Nothing,
}

impl Standing {
    /// All `started` pieces alive.
    pub fn fresh(started: u16) -> Self {
        Self { alive: started, ..Self::default() }
    }

    /// Pieces that are neither dead, lost nor gone: what the next count has to account for.
    pub fn base(self) -> u16 {
        self.alive + self.not_known
    }

    /// The standing after `tally`, and the tally with what follows from it filled in.
    ///
    /// # Errors
    /// When the numbers contradict each other or the last count.
    pub fn after(
        self,
        tally: &Tally,
        stage: Option<Stage>,
        rest: Option<Rest>,
    ) -> Result<(Self, Tally), TallyFault> {
        let found = tally.found_alive.unwrap_or(0);
        at_most("found alive", found, self.dead, "were dead")?;
        let base = self.base() + found;
        let full = fill(tally, (base, self.not_known), stage, rest)?;
        let [alive, dead, lost, not_known] =
            [full.alive, full.dead, full.lost, full.not_known].map(Option::unwrap_or_default);
        let living = if tally.alive.is_none() { "counted as living" } else { "alive" };
        at_most(living, alive, base, "left at the last count")?;
        let sum = [alive, dead, lost, not_known].into_iter().map(u32::from).sum::<u32>();
        if sum != u32::from(base) {
            return Err(TallyFault::Sum { alive, dead, lost, not_known, sum, base });
        }
        check_parts(&full, alive)?;
        let next = Self {
            alive,
            not_known,
            dead: self.dead - found + dead,
            lost: self.lost + lost,
            rooted: full.rooted.or(self.rooted.map(|rooted| rooted.min(alive))),
            ..self
        };
        Ok((next, full))
    }

    /// The standing after `pieces` left.
    ///
    /// # Errors
    /// When there are not so many.
    pub fn left(self, pieces: u16, at_grade: bool) -> Result<Self, TallyFault> {
        at_most("left", pieces, self.alive, "were alive at the last count")?;
        let rooted = self.rooted.map(|rooted| rooted.saturating_sub(pieces));
        let next = Self { alive: self.alive - pieces, rooted, ..self };
        Ok(if at_grade {
            Self { left: self.left + pieces, ..next }
        } else {
            Self { left_below: self.left_below + pieces, ..next }
        })
    }
}

/// Works out what the given numbers leave open; pieces that were not known before stay so when nothing is said.
fn fill(
    tally: &Tally,
    (base, unknown): (u16, u16),
    stage: Option<Stage>,
    rest: Option<Rest>,
) -> Result<Tally, TallyFault> {
    let mut full = tally.clone();
    let given = |count: Option<u16>| count.unwrap_or(0);
    let gone = given(tally.dead).saturating_add(given(tally.lost)).saturating_add(given(tally.not_known));
    let open = base.saturating_sub(gone);
    let least_alive = parts(tally).into_iter().filter_map(|(_, count)| count).max();
    let rest = |missing: u16| rest.or_else(|| (missing <= unknown).then_some(Rest::NotKnown));
    match (tally.alive, stage, rest(u16::MAX)) {
        (Some(alive), _, _) => {
            let missing = open.saturating_sub(alive);
            settle(&mut full, missing, base, rest(missing), stage.is_some())?;
        }
        // Between the stages whoever is not mentioned is as last time.
        (None, None, _) | (None, Some(_), Some(Rest::Alive)) => full.alive = Some(open),
        (None, Some(_), _) => {
            let living = least_alive.unwrap_or(0);
            full.alive = Some(living);
            let missing = open.saturating_sub(living);
            settle(&mut full, missing, base, rest(missing), true)?;
        }
    }
    Ok(full)
}

/// Puts pieces that nothing was said about where `rest` says.
fn settle(
    full: &mut Tally,
    missing: u16,
    base: u16,
    rest: Option<Rest>,
    must_be_whole: bool,
) -> Result<(), TallyFault> {
    match rest {
        _ if missing == 0 => {}
        Some(Rest::Dead) => full.dead = Some(full.dead.unwrap_or(0) + missing),
        Some(Rest::NotKnown) => full.not_known = Some(full.not_known.unwrap_or(0) + missing),
        Some(Rest::Alive) => full.alive = Some(full.alive.unwrap_or(0) + missing),
        None if must_be_whole => return Err(TallyFault::Unaccounted { count: missing, base }),
        None => {}
    }
    Ok(())
}

/// Counts that are parts of alive.
fn parts(tally: &Tally) -> [(&'static str, Option<u16>); 4] {
    [
        ("rooted", tally.rooted),
        ("callused", tally.callused),
        ("established", tally.established),
        ("finished", tally.finished),
    ]
}

fn check_parts(tally: &Tally, alive: u16) -> Result<(), TallyFault> {
    for (what, count) in parts(tally) {
        at_most(what, count.unwrap_or(0), alive, "alive")?;
    }
    if let (Some(established), Some(rooted)) = (tally.established, tally.rooted) {
        at_most("established", established, rooted, "rooted")?;
    }
    Ok(())
}

fn at_most(what: &'static str, count: u16, of: u16, of_what: &'static str) -> Result<(), TallyFault> {
    if count > of { Err(TallyFault::TooMany { what, count, of, of_what }) } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[expect(clippy::needless_pass_by_value, reason = "tallies are written where they are used")]
    fn after(standing: Standing, tally: Tally, stage: Option<Stage>) -> Result<Standing, TallyFault> {
        standing.after(&tally, stage, None).map(|(next, _)| next)
    }

    #[test]
    fn between_stages_whoever_is_not_mentioned_lives_on() {
        let next =
            after(Standing::fresh(4), Tally { dead: Some(1), ..Tally::default() }, None).expect("fits");
        assert_eq!((next.alive, next.dead), (3, 1));
        // Dead counts those that died since: three are left, not four.
        let twice = after(next, Tally { alive: Some(3), dead: Some(1), ..Tally::default() }, None);
        assert!(matches!(twice, Err(TallyFault::Sum { sum: 4, base: 3, .. })), "{twice:?}");
    }

    #[test]
    fn at_a_stage_every_piece_is_accounted_for() {
        let stage = Some(Stage::Lift);
        let some = Tally { rooted: Some(2), ..Tally::default() };
        assert_eq!(
            after(Standing::fresh(4), some.clone(), stage),
            Err(TallyFault::Unaccounted { count: 2, base: 4 })
        );
        let (dead, _) = Standing::fresh(4).after(&some, stage, Some(Rest::Dead)).expect("fits");
        assert_eq!((dead.alive, dead.dead, dead.rooted), (2, 2, Some(2)));
        let (open, _) = Standing::fresh(4).after(&some, stage, Some(Rest::NotKnown)).expect("fits");
        assert_eq!((open.alive, open.not_known, open.base()), (2, 2, 4));
        let all = after(Standing::fresh(4), Tally { rooted: Some(4), ..Tally::default() }, stage);
        assert_eq!(all.expect("fits").alive, 4);
    }

    #[test]
    fn what_was_not_known_stays_so_when_nothing_is_said() {
        let rooted = Tally { rooted: Some(21), ..Tally::default() };
        let (standing, _) =
            Standing::fresh(30).after(&rooted, Some(Stage::Lift), Some(Rest::NotKnown)).expect("fits");
        let sold = standing.left(15, true).expect("there are so many");
        let last = Tally { finished: Some(4), dead: Some(2), ..Tally::default() };
        let last = after(sold, last, Some(Stage::Final)).expect("six were kept, nine never known");
        assert_eq!((last.alive, last.dead, last.not_known, last.left), (4, 2, 9, 15));
        let open = after(sold, Tally { finished: Some(4), ..Tally::default() }, Some(Stage::Final));
        assert_eq!(open, Err(TallyFault::Unaccounted { count: 11, base: 15 }));
    }

    #[test]
    fn parts_are_never_more_than_the_whole() {
        let more = Tally { alive: Some(3), rooted: Some(4), dead: Some(1), ..Tally::default() };
        let fault = after(Standing::fresh(4), more, Some(Stage::Lift)).expect_err("too many");
        assert_eq!(fault.to_string(), "4 rooted, but only 3 alive");
        let many = Tally { dead: Some(9), ..Tally::default() };
        assert!(after(Standing::fresh(4), many, None).is_err());
        assert!(Standing::fresh(4).left(5, true).is_err());
    }

    #[test]
    fn a_dead_piece_found_alive_comes_back() {
        let one_dead =
            after(Standing::fresh(4), Tally { dead: Some(1), ..Tally::default() }, None).expect("fits");
        let back = Tally { found_alive: Some(1), ..Tally::default() };
        let next = after(one_dead, back, None).expect("fits");
        assert_eq!((next.alive, next.dead), (4, 0));
        assert!(after(next, Tally { found_alive: Some(1), ..Tally::default() }, None).is_err());
    }

    #[test]
    fn pieces_that_left_at_grade_are_finished_and_below_grade_unknown() {
        let lifted = Tally { rooted: Some(21), dead: Some(9), ..Tally::default() };
        let standing = after(Standing::fresh(30), lifted, Some(Stage::Lift)).expect("fits");
        let sold = standing.left(15, true).expect("there are so many");
        assert_eq!((sold.alive, sold.left, sold.base()), (6, 15, 6));
        assert_eq!(standing.left(2, false).expect("fits").left_below, 2);
    }

    proptest::proptest! {
        /// Whatever is counted, and accepted, every piece has one place.
        #[test]
        fn pieces_are_conserved(
            started in 1_u16..60,
            tallies in proptest::collection::vec(
                (0_u16..6, 0_u16..6, 0_u16..6, 0_u16..3, proptest::option::of(0_u16..20), 0_usize..4), 0..8),
        ) {
            let mut standing = Standing::fresh(started);
            for (dead, lost, not_known, found, rooted, stage) in tallies {
                let tally = Tally {
                    dead: Some(dead), lost: Some(lost), not_known: Some(not_known),
                    found_alive: Some(found), rooted, ..Tally::default()
                };
                let stage = [None, Some(Stage::Lift), Some(Stage::Spring), Some(Stage::Final)][stage];
                if let Ok((next, _)) = standing.after(&tally, stage, Some(Rest::Alive)) {
                    standing = next;
                }
                let all = [standing.alive, standing.not_known, standing.dead, standing.lost, standing.left,
                    standing.left_below];
                proptest::prop_assert_eq!(all.iter().sum::<u16>(), started);
                proptest::prop_assert!(standing.rooted.unwrap_or(0) <= standing.alive);
            }
        }
    }
}
