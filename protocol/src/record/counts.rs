//! Counts of one treatment at the stages of its trial.

use super::Extensions;

/// A day on which a trial is counted through.
///
/// The order is that of time. The numbers are not: the season's end came later to the schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// Lift.
    Lift,
    /// Season end, or weaning. From major 1 on.
    Season,
    /// Spring.
    Spring,
    /// The final count.
    Last,
}

impl Stage {
    /// All stages in the order of time.
    pub const ALL: [Self; 4] = [Self::Lift, Self::Season, Self::Spring, Self::Last];

    /// Its key in a record.
    pub fn number(self) -> u8 {
        match self {
            Self::Lift => 1,
            Self::Season => 4,
            Self::Spring => 2,
            Self::Last => 3,
        }
    }

    /// Its word.
    pub fn name(self) -> &'static str {
        match self {
            Self::Lift => "lift",
            Self::Season => "season end",
            Self::Spring => "spring",
            Self::Last => "final",
        }
    }
}

/// Counts of an arm at the four stages.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StageCounts {
    /// At lift.
    pub lift: Option<Counts>,
    /// At the season's end, or after weaning. From major 1 on.
    pub season: Option<Counts>,
    /// In spring.
    pub spring: Option<Counts>,
    /// At the final count.
    pub last: Option<Counts>,
}

impl StageCounts {
    /// Whether nothing was counted at any stage.
    pub fn is_empty(&self) -> bool {
        self.counted().all(|(_, counts)| counts.is_empty())
    }

    /// The counts of a stage.
    pub fn at(&self, stage: Stage) -> Option<&Counts> {
        match stage {
            Stage::Lift => self.lift.as_ref(),
            Stage::Season => self.season.as_ref(),
            Stage::Spring => self.spring.as_ref(),
            Stage::Last => self.last.as_ref(),
        }
    }

    /// The stages that have counts, in the order of time.
    pub fn counted(&self) -> impl Iterator<Item = (Stage, &Counts)> {
        Stage::ALL.into_iter().filter_map(|stage| self.at(stage).map(|counts| (stage, counts)))
    }

    /// Each stage with its counts, for writing, in the order of time.
    pub(crate) fn slots(&mut self) -> [&mut Option<Counts>; 4] {
        [&mut self.lift, &mut self.season, &mut self.spring, &mut self.last]
    }

    /// Pieces that ever had roots up to a stage; `None` where it does not tell.
    ///
    /// Where the stage does not state it, it is rooted and left as finished together, or what an earlier stage
    /// already had where that is more: roots that died later were roots.
    pub fn ever_rooted(&self, stage: Stage) -> Option<u16> {
        let here = self.at(stage)?.ever_rooted_here()?;
        Some(here.max(self.ever_rooted_before(stage)))
    }

    /// The most pieces that ever had roots by what the stages before one tell, 0 where none tells.
    pub(crate) fn ever_rooted_before(&self, stage: Stage) -> u16 {
        let earlier = self.counted().take_while(|(other, _)| *other < stage);
        earlier.filter_map(|(_, counts)| counts.ever_rooted_here()).max().unwrap_or(0)
    }
}

/// What was counted at one stage. Absent means not counted, never zero.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Counts {
    /// Still green under the bark, rooted ones included.
    pub alive: Option<u16>,
    /// With callus.
    pub callused: Option<u16>,
    /// With roots (taken for grafts, germinated for seed) and alive at this stage; those that left as finished
    /// stand apart.
    pub rooted: Option<u16>,
    /// Growing on.
    pub established: Option<u16>,
    /// Finished plants by the grower's own grade.
    pub finished: Option<u16>,
    /// Dead.
    pub dead: Option<u16>,
    /// Unscored: vole, tipped tray, label gone.
    pub lost: Option<u16>,
    /// The stage's lead outcome for each replicate.
    pub replicates: Option<Vec<u16>>,
    /// Left as finished by this stage (within `finished` at the final count).
    pub left_as_finished: Option<u16>,
    /// Ever with roots up to this stage, whatever became of them; written only where it is not rooted and left
    /// as finished together. From major 1 on.
    pub ever_rooted: Option<u16>,
    /// Lost pieces of each replicate, beside `replicates` and where any were lost. From major 1 on.
    pub lost_by_replicate: Option<Vec<u16>>,
    /// Unknown ignorable entries.
    pub extensions: Extensions,
}

impl Counts {
    /// Whether nothing was counted.
    pub fn is_empty(&self) -> bool {
        let Self {
            alive,
            callused,
            rooted,
            established,
            finished,
            dead,
            lost,
            replicates,
            left_as_finished,
            ever_rooted,
            lost_by_replicate,
            extensions: _,
        } = self;
        let counts =
            [alive, callused, rooted, established, finished, dead, lost, left_as_finished, ever_rooted];
        replicates.is_none() && lost_by_replicate.is_none() && counts.iter().all(|count| count.is_none())
    }

    /// Rooted and alive, and left as finished, together; `None` where rooted was not counted.
    pub fn rooted_and_left(&self) -> Option<u16> {
        self.rooted.map(|rooted| rooted.saturating_add(self.left_as_finished.unwrap_or(0)))
    }

    /// What this stage alone tells about pieces that ever had roots.
    pub(crate) fn ever_rooted_here(&self) -> Option<u16> {
        self.ever_rooted.or_else(|| self.rooted_and_left())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ever_rooted_is_what_was_written_or_what_the_rest_tells() {
        let rooted =
            |rooted, left| Counts { rooted: Some(rooted), left_as_finished: left, ..Counts::default() };
        let stages = StageCounts {
            lift: Some(rooted(9, None)),
            season: Some(Counts { alive: Some(8), ..Counts::default() }),
            spring: Some(rooted(4, Some(2))),
            last: Some(Counts { ever_rooted: Some(11), ..rooted(3, Some(4)) }),
        };
        let ever = |stage| stages.ever_rooted(stage);
        assert_eq!(Stage::ALL.map(ever), [Some(9), None, Some(9), Some(11)]);
        assert_eq!(StageCounts::default().ever_rooted(Stage::Lift), None);
    }

    #[test]
    fn stages_stand_in_the_order_of_time_whatever_their_numbers() {
        assert!(Stage::ALL.is_sorted());
        assert_eq!(Stage::ALL.map(Stage::number), [1, 4, 2, 3]);
    }
}
