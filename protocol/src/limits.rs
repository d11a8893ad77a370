//! Every limit of the record format in one place.

/// Largest record in bytes, envelope included.
pub const RECORD_BYTES: usize = 4096;
/// Largest gossip message in bytes.
pub const GOSSIP_BYTES: usize = 4608;
/// Deepest nesting of arrays and maps: body, arms, arm, phases, phase, facets, medium, component.
pub const DEPTH: usize = 8;
/// Lowest map key that an older reader may ignore; unknown keys below it hold the record.
pub const FIRST_IGNORABLE_KEY: u64 = 64;
/// Kinds from this one on are reserved for experiments and refused, as kind 0 is.
pub const FIRST_RESERVED_KIND: u64 = 64;
/// The schema major of the summaries that this version writes, and the highest that it reads of any kind.
pub const MAJOR: u8 = 1;
/// The schema minor of the summaries that this version writes.
pub const MINOR: u8 = 0;
/// The schema major that this version writes in every kind but the summary, so that older readers take them.
pub const OTHER_MAJOR: u8 = 0;
/// The schema minor that this version writes in every kind but the summary.
pub const OTHER_MINOR: u8 = 1;
/// Highest schema major or minor that can be written down.
pub const VERSION_MAX: u8 = 23;
/// Last month that can be written down: December 2199, counted from January 1900.
pub const MONTH_MAX: u16 = 3599;
/// Arms of a trial.
pub const ARMS: usize = 24;
/// Highest revision of a series.
pub const REVISION_MAX: u8 = 31;
/// Records named on a page of what stands of a revoked key.
pub const STANDING_ENTRIES: usize = 256;
/// Pages of such a list.
pub const STANDING_PAGES: usize = 64;
/// Pieces started in an arm, and so the highest count.
pub const STARTED_MAX: u16 = 10_000;
/// Fewest replicates that are written apart.
pub const REPLICATES_MIN: usize = 2;
/// Most replicates of an arm.
pub const REPLICATES: usize = 50;
/// Later phases of an arm.
pub const PHASES: usize = 2;
/// Weeks after starting.
pub const WEEKS_MAX: u16 = 520;
/// Months by which an arm may start apart from its trial.
pub const START_OFFSET_MAX: i8 = 12;
/// Components of a medium.
pub const MEDIUM_COMPONENTS: usize = 6;
/// Auxins of a method.
pub const AUXINS: usize = 3;
/// Strongest auxin, mg/L or mg/kg.
pub const DOSE_MAX: u16 = 50_000;
/// Coldest and warmest bottom heat in °C.
pub const BOTTOM_HEAT: (i8, i8) = (-5, 40);
/// Longest warm or cold stratification in weeks.
pub const STRATIFICATION_MAX: u8 = 104;
/// Last BBCH growth stage.
pub const BBCH_MAX: u8 = 99;
/// Most tip nodes removed.
pub const TIP_NODES_MAX: u8 = 20;
/// Shortest and longest epithet in bytes.
pub const EPITHET_BYTES: (usize, usize) = (2, 40);
/// Longest cultivar or group name in bytes of UTF-8.
pub const NAME_BYTES: usize = 40;
/// Highest design flags: all ten bits.
pub const DESIGN_MAX: u16 = 1023;
/// Highest design flags of a summary of major 0: the first seven bits.
pub const OLD_DESIGN_MAX: u16 = 127;
/// Highest relation of a trial to the one that it follows.
pub const RELATION_MAX: u8 = 3;
/// Highest marks of a taxon: all three bits.
pub const TAXON_MARKS_MAX: u8 = 7;
/// Highest stock-plant class.
pub const STOCK_PLANTS_MAX: u8 = 4;
/// First and last whole hardiness zone.
pub const ZONE: (u8, u8) = (1, 13);
/// Bins of 4 °C of the coldest month.
pub const COLDEST: (i8, i8) = (-20, 12);
/// Bins of 4 °C of the hottest month.
pub const HOTTEST: (i8, i8) = (-10, 12);
/// Last bin of yearly rain.
pub const RAIN_MAX: u8 = 30;
