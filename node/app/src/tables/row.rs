//! One row of a trial table: words checked against the vocabularies, numbers read.

use std::collections::BTreeMap;

use propagule_protocol::vocab::{Dialect, HomeDetail, Said};
use propagule_protocol::{Facet, Taxon};

use super::ask::{Asked, Stated};
use super::cell::{self, Value, fold};
use super::grid::Grid;
use super::sheet::Line;
use propagule_bench::Stage;
use propagule_bench::dates::When;
use propagule_bench::given::{FacetsGiven, NotHeard};
use propagule_files::fault::{Fault, Problem};

/// The most pieces that an arm may have; the schema's limit.
const MOST_PIECES: u16 = 10_000;
/// The longest code of a trial, and the longest label of an arm or a pot.
const MOST_CODE_CHARACTERS: usize = 60;

/// A count of a row, on its day.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct RowCount {
    pub(super) stage: Option<Stage>,
    /// `alive`, `rooted`, …; at a check empty where the reading of the checks decides.
    pub(super) what: String,
    pub(super) on: When,
    pub(super) value: Value,
    pub(super) column: String,
}

/// One row as typed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Row {
    pub(super) line: u64,
    pub(super) trial: String,
    pub(super) species: String,
    pub(super) started_on: When,
    pub(super) started: u16,
    pub(super) label: Option<String>,
    pub(super) pot: Option<String>,
    /// The pot is a number within its arm.
    pub(super) is_rep: bool,
    pub(super) operator: Option<String>,
    pub(super) stock_plant: Option<String>,
    pub(super) facets: BTreeMap<String, String>,
    /// What cells say of the method that no facet holds.
    pub(super) at_home: BTreeMap<HomeDetail, String>,
    pub(super) days: [Option<When>; 4],
    pub(super) counts: Vec<RowCount>,
    pub(super) suckers: Option<u16>,
    pub(super) place: Option<String>,
    pub(super) grower: Option<String>,
    pub(super) spot: Option<String>,
    pub(super) stock_plants: Option<u16>,
    pub(super) is_randomised: Option<bool>,
    pub(super) is_blocked: Option<bool>,
    pub(super) is_scored_blind: Option<bool>,
    pub(super) note: Option<String>,
    pub(super) filled: Vec<(String, u64)>,
}

/// A plant, and what was changed or left out of its name on the way.
type Named = (String, Vec<String>);

/// Why there is no row.
#[derive(Debug)]
pub(super) enum NoRow {
    /// It waits for an answer.
    Asked,
    /// It is refused.
    Refused(Vec<Problem>),
}

/// Reads rows, and asks what they leave open.
#[derive(Debug)]
pub(super) struct Reader<'a> {
    pub(super) grid: &'a Grid<'a>,
    pub(super) asked: &'a mut Asked,
    pub(super) problems: Vec<Problem>,
    pub(super) is_waiting: bool,
    pub(super) line: u64,
    /// Spellings of words that a facet has, by their folded form.
    pub(super) spellings: BTreeMap<(Facet, String), Result<HeardCell, Fault>>,
    pub(super) names: BTreeMap<String, Result<Named, Fault>>,
}

impl<'a> Reader<'a> {
    pub(super) fn new(grid: &'a Grid<'a>, asked: &'a mut Asked) -> Self {
        Self {
            grid,
            asked,
            problems: Vec::new(),
            is_waiting: false,
            line: 0,
            spellings: BTreeMap::new(),
            names: BTreeMap::new(),
        }
    }

    /// Reads a row.
    ///
    /// # Errors
    /// What is wrong with it, or that it waits for an answer.
    pub(super) fn read(&mut self, line: &Line) -> Result<Row, NoRow> {
        (self.line, self.is_waiting) = (line.number, false);
        self.problems.clear();
        let row = self.row(line);
        if !self.problems.is_empty() {
            return Err(NoRow::Refused(std::mem::take(&mut self.problems)));
        }
        row.filter(|_| !self.is_waiting).ok_or(NoRow::Asked)
    }

    fn row(&mut self, line: &Line) -> Option<Row> {
        let trial = self.code(line);
        let species = self.species(line);
        let started = self.started(line);
        let started_on = self.needed(line, "started_on").and_then(|text| self.day("started_on", &text));
        if let Some(day) = started_on {
            self.check_past("started_on", day);
        }
        let days = Stage::ALL.map(|stage| self.stage_day(line, stage, started_on));
        let counts = self.counts(line, (started, started_on), days);
        let (facets, at_home) = self.facets(line);
        let suckers = self.whole(line, "suckers");
        let stock_plants = self.whole(line, "stock_plants");
        let [is_randomised, is_blocked, is_scored_blind] =
            ["randomised", "blocked", "scored_blind"].map(|column| self.yes_or_no(line, column));
        let text = |column: &str| self.grid.text(line, column);
        let named = text("pot").or_else(|| text("piece").filter(|_| self.grid.options.one_piece));
        let is_rep = named.is_none();
        let pot = named.or_else(|| text("rep"));
        let filled = self.grid.filled_of(line.number);
        Some(Row {
            line: line.number,
            label: text("arm"),
            pot,
            is_rep,
            operator: text("operator"),
            stock_plant: text("stock_plant"),
            place: text("place"),
            grower: text("grower"),
            spot: text("spot"),
            note: text("note"),
            trial: trial?,
            species: species?,
            started_on: started_on?,
            started: started?,
            facets,
            at_home,
            days,
            counts,
            suckers,
            stock_plants,
            is_randomised,
            is_blocked,
            is_scored_blind,
            filled,
        })
    }

    pub(super) fn refuse(&mut self, column: &str, fault: Fault) {
        let column = self.grid.heading(column);
        self.problems.push(Problem::of_cell(self.line, &column, fault));
    }

    pub(super) fn ask(&mut self, problem: Problem, field: String, choices: &[&str]) {
        self.is_waiting = true;
        self.asked.ask(problem, field, choices);
    }

    /// A cell that every row needs; without its column it is asked for once.
    fn needed(&mut self, line: &Line, column: &str) -> Option<String> {
        let text = self.grid.text(line, column);
        if text.is_none() {
            if self.asked.is_asked(&format!("fill/{}", self.grid.heading(column))) {
                self.is_waiting = true;
            } else if self.grid.has(column) {
                self.refuse(
                    column,
                    Fault::user("table-cell-blank").hint_named("fill-in-or-leave-out-of-import"),
                );
            } else {
                let headings = self.grid.unused_headings();
                let fault = Fault::user("table-needed-column-missing")
                    .with("column", column)
                    .with("heading", headings.first().map_or("HEADING", String::as_str));
                self.ask(Problem::of_column(column, fault), format!("set/{column}"), &[]);
            }
        }
        text
    }

    /// A code that can be typed after a command.
    fn code(&mut self, line: &Line) -> Option<String> {
        let typed = self.needed(line, "trial")?;
        if !typed.starts_with('-') && typed.chars().count() <= MOST_CODE_CHARACTERS {
            return Some(typed);
        }
        self.refuse("trial", Fault::user("table-code-malformed").with("most", MOST_CODE_CHARACTERS));
        None
    }

    fn species(&mut self, line: &Line) -> Option<String> {
        let typed = self.needed(line, "species")?;
        match self.names.entry(typed.clone()).or_insert_with(|| read_species(&typed)).clone() {
            Ok((name, noted)) => {
                if !noted.is_empty() {
                    let (heading, read_as) = (self.grid.heading("species"), name.clone());
                    self.asked.state(Stated::NameReadAs { heading, typed, read_as, noted }, "", &[]);
                }
                Some(name)
            }
            Err(fault) => {
                self.refuse("species", fault);
                None
            }
        }
    }

    fn started(&mut self, line: &Line) -> Option<u16> {
        if self.grid.options.one_piece && self.grid.text(line, "started").is_none() {
            return Some(1);
        }
        if self.grid.has("started") && self.grid.text(line, "started").is_none() {
            self.refuse("started", Fault::user("table-number-put-in-missing"));
            return None;
        }
        let typed = self.needed(line, "started")?;
        let count = match cell::number(&typed) {
            Ok(count) => count,
            Err(wrong) => {
                self.refuse("started", cell::no_number(&typed, wrong));
                return None;
            }
        };
        if (1..=MOST_PIECES).contains(&count) {
            return Some(count);
        }
        let fault = Fault::user("table-pieces-out-of-range").with("count", count).with("most", MOST_PIECES);
        self.refuse("started", fault);
        None
    }

    fn whole(&mut self, line: &Line, column: &str) -> Option<u16> {
        let typed = self.grid.text(line, column)?;
        match cell::number(&typed) {
            Ok(count) => Some(count),
            Err(wrong) => {
                self.refuse(column, cell::no_number(&typed, wrong));
                None
            }
        }
    }

    fn yes_or_no(&mut self, line: &Line, column: &str) -> Option<bool> {
        let typed = self.grid.text(line, column)?;
        match typed.to_lowercase().as_str() {
            "yes" | "y" | "true" | "1" => Some(true),
            "no" | "n" | "false" | "0" => Some(false),
            _ => {
                self.refuse(column, Fault::user("table-neither-yes-nor-no").with("cell", typed));
                None
            }
        }
    }

    /// The facets of a row, as growers say them, and what no facet holds of it. A phrase may speak of several facets; a
    /// column of its own goes before what another one says of it.
    fn facets(&mut self, line: &Line) -> (BTreeMap<String, String>, BTreeMap<HomeDetail, String>) {
        let (mut own, mut beside) = (BTreeMap::new(), BTreeMap::new());
        let mut at_home = BTreeMap::new();
        let dialect = self.grid.options.dialect;
        for facet in Facet::ALL {
            let Some(typed) = self.grid.text(line, facet.name()) else { continue };
            let key = (facet, fold(&typed));
            let read = self.spellings.entry(key).or_insert_with(|| heard(facet, &typed, dialect)).clone();
            match read {
                Ok(HeardCell { word, others, at_home: kept }) => {
                    if word != typed {
                        let (heading, read_as) = (self.grid.heading(facet.name()), word.clone());
                        self.asked.state(Stated::WordReadAs { heading, typed, read_as }, "", &[]);
                    }
                    own.insert(facet.name().to_owned(), word);
                    beside.extend(others.into_iter().map(|(facet, word)| (facet.name().to_owned(), word)));
                    at_home.extend(kept);
                }
                Err(fault) => self.refuse(facet.name(), fault.with("cell", typed)),
            }
        }
        beside.extend(own);
        (beside, at_home)
    }
}

/// What a cell says of the method.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct HeardCell {
    /// Of the facet of its column, in the words of its list.
    word: String,
    /// Of other facets.
    others: Vec<(Facet, String)>,
    /// What no facet holds.
    at_home: Vec<(HomeDetail, String)>,
}

/// The plant that a text names.
///
/// The only way in of names here, so that what is noted of a name can be asked in one place.
fn read_species(typed: &str) -> Result<Named, Fault> {
    let noting = Taxon::parse_noting(typed);
    let said: Vec<String> = noting.notes.iter().map(ToString::to_string).collect();
    let taxon = match noting.taxon {
        Some(taxon) if !noting.notes.iter().any(propagule_protocol::Note::needs_yes) => {
            return Ok((taxon.to_string(), said));
        }
        taxon => taxon,
    };
    let said = said.join("; ");
    Err(match taxon {
        Some(taxon) => Fault::user("table-plant-needs-yes").with("said", said).with("taxon", taxon),
        None => Fault::user("table-plant-not-understood").with("said", said).near(&noting.offers),
    })
}

/// What a grower says in a cell of a facet.
fn heard(facet: Facet, typed: &str, dialect: Dialect) -> Result<HeardCell, Fault> {
    let mut given = FacetsGiven::default();
    let at_home = given.hear(facet, typed, dialect).map_err(|failure| match failure {
        NotHeard::Words(error) => Fault::user("table-facet-word-unknown")
            .with("cell", typed)
            .with("why", error.why)
            .near(&error.suggestions),
        NotHeard::Asked { missing, choices } => {
            // One that speaks of several facets is for several columns.
            let words = |said: &Said| match &said.facets[..] {
                [(_, word)] => word.clone(),
                several => {
                    let named = several.iter().map(|(facet, word)| format!("{}={word}", facet.name()));
                    named.collect::<Vec<_>>().join("; ")
                }
            };
            let choices: Vec<String> = choices.iter().map(words).collect();
            Fault::user("table-facet-left-open")
                .with("cell", typed)
                .with_data("missing", &missing)
                .near(&choices)
        }
    })?;
    let word = |of: Facet| given.iter().find(|(found, _)| *found == of).map(|(_, word)| word.to_owned());
    Ok(HeardCell {
        word: word(facet).unwrap_or_default(),
        others: given.iter().filter(|(of, _)| *of != facet).map(|(of, word)| (of, word.to_owned())).collect(),
        at_home: at_home.into_iter().map(|kept| (kept.detail, kept.text)).collect(),
    })
}
