//! Verdicts: a trial of each case at the bench, and what another home reads of its record.

use serde_json::Value;

use crate::close::{close, close_all, list, text, whole};
use crate::home::TestHome;
use crate::laid::{self, Arm, DIP, Laid, Layout, NONE, Pot};
use crate::report::Report;
use crate::said::says;
use crate::split::{pearson, split};

/// What a case file states for p, spread, t and difference.
const FINE: f64 = 1e-6;
/// What it states for odds ratios, of the ratio itself.
const OF_ODDS: f64 = 1e-4;

pub(crate) fn play(file: &Value, report: &mut Report) {
    for case in list(file, "cases") {
        report.case(text(case, "id"), || verdicts(case));
    }
}

/// A kind of case by the keys that only it has.
fn verdicts(case: &Value) {
    let code = text(case, "id");
    let pairs = |key: &str| case[key].as_array();
    if let Some(wanted) = pairs("family_control") {
        family(&doses(case, code, true), wanted, true);
        if let Some(wanted) = pairs("family_all_pairs") {
            family(&doses(case, code, false), wanted, false);
        }
    } else if let Some(wanted) = pairs("main_effects") {
        family(&crossed(case, code, wanted), wanted, true);
    } else if case["lost_as_failures"].is_object() {
        lone(&with_lost(case, code), case);
    } else if case["cells"].is_object() {
        lone(&by_people(case, code), case);
    } else {
        lone(&two_arms(case, code), case);
    }
}

/// A case of one pair.
fn lone(laid: &Laid, case: &Value) {
    let seen = Seen::of(laid);
    assert_eq!(seen.verdicts().len(), 1, "{:?}", seen.verdicts());
    let found = &seen.verdicts()[0];
    judged(found, case);
    for sentence in case["say"].as_array().into_iter().flatten().filter_map(Value::as_str) {
        says(text(found, "sentence"), sentence).unwrap_or_else(|why| panic!("{why}: {}", found["sentence"]));
        says(&seen.screen, sentence).unwrap_or_else(|why| panic!("{why}: {}", seen.screen));
    }
    // Who did what is counted, in the order of the names and never of the counts.
    if let Some(counts) = case["operators_shown"].as_str() {
        says(&seen.screen, counts).unwrap_or_else(|why| panic!("{why}: {}", seen.screen));
    }
    if !case["one_sided_upper"].is_null() {
        for arm in list(&seen.stage, "arms") {
            close("upper bound", &arm["rate"]["upper"], &case["one_sided_upper"], FINE);
        }
    }
    seen.is_read_elsewhere(found);
}

/// A case of several pairs, each with its own numbers.
fn family(laid: &Laid, wanted: &[Value], is_ordered: bool) {
    let seen = Seen::of(laid);
    assert_eq!(seen.verdicts().len(), wanted.len(), "{:?}", seen.verdicts());
    for wanted in wanted {
        let found = seen.verdict(wanted, is_ordered);
        judged(found, wanted);
        seen.is_read_elsewhere(found);
    }
}

/// A trial as its grower sees it, and as another home pools it.
struct Seen {
    trial: Value,
    stage: Value,
    screen: String,
    pool: Value,
}

impl Seen {
    fn of(laid: &Laid) -> Self {
        let home: TestHome = laid::grower();
        laid.enter(&home);
        let mut trial = home.json(&["trial", "show", &laid.code]);
        let stage = trial["stages"][0].take();
        let screen = home.ok(&["trial", "show", &laid.code]);
        home.ok(&["publish", &laid.code, "--yes", "--now"]);
        Self { trial, stage, screen, pool: laid::read_elsewhere([&home]) }
    }

    fn verdicts(&self) -> &[Value] {
        list(&self.stage, "verdicts")
    }

    /// The verdict on the two sides of a case; a level of a factor stands under its word.
    fn verdict(&self, wanted: &Value, is_ordered: bool) -> &Value {
        let sides = ["first", "second"].map(|side| text(wanted, side));
        let is_side = |found: &Value, side: &str| found == side || found == word(side);
        let is_it = |found: &&Value| {
            let is = |a: &str, b: &str| is_side(&found["first"], a) && is_side(&found["second"], b);
            is(sides[0], sides[1]) || (!is_ordered && is(sides[1], sides[0]))
        };
        self.verdicts().iter().find(is_it).unwrap_or_else(|| panic!("{sides:?} in {:?}", self.verdicts()))
    }

    /// The facet's words on one side of a verdict.
    fn words<'a>(&'a self, found: &'a Value, side: &str) -> &'a str {
        let label = text(found, side);
        let arms = list(&self.trial["trial"], "arms").iter();
        let arm = { arms }.find(|arm| arm["label"] == label);
        arm.map_or(label, |arm| text(&arm["facets"], text(found, "factor")))
    }

    /// Whoever holds the record alone reads the same verdict and p; of what goes together, no winner.
    fn is_read_elsewhere(&self, found: &Value) {
        let contrasts = list(&self.pool, "contrasts");
        if found["verdict"] == "confounded" {
            assert!(contrasts.is_empty(), "{contrasts:?}");
            return;
        }
        let sides = ["first", "second"].map(|side| self.words(found, side));
        let is_it = |contrast: &&Value| {
            let of = [text(contrast, "first"), text(contrast, "second")];
            contrast["facet"] == found["factor"] && sides.iter().all(|side| of.contains(side))
        };
        let contrast = contrasts.iter().find(is_it).unwrap_or_else(|| panic!("{sides:?} in {contrasts:?}"));
        assert_eq!(contrast["verdict"], found["verdict"], "{contrast}");
        if found["verdict"] == "nothing_to_see" {
            assert!(contrast["p"].is_null(), "nothing is tested: {contrast}");
            return;
        }
        close("p elsewhere", &contrast["p"], &found["p"], 1e-9);
        assert_eq!((&contrast["scope"], &contrast["design"]), (&"one_trial".into(), &found["design"]));
        close("spread elsewhere", &contrast["phi"], &found["phi"], 1e-9);
        if let Some(better) = found["better"].as_str() {
            let side = if found["first"] == better { sides[0] } else { sides[1] };
            let said = text(contrast, "sentence");
            assert!(said.contains(&format!("{side} did better")), "{said}");
        }
    }
}

/// Every number of the case, and the verdict with the side that it names.
fn judged(found: &Value, wanted: &Value) {
    let own = if wanted["lost_as_failures"].is_object() { &wanted["lost_as_failures"] } else { wanted };
    numbers(found, own);
    if wanted["lost_left_out"].is_object() {
        numbers(&found["lost_left_out"], &wanted["lost_left_out"]);
        assert_eq!(found["lost_left_out"]["verdict"], wanted["lost_left_out"]["verdict"], "without the lost");
    }
    assert_eq!(found["verdict"], wanted["verdict"], "{found}");
    let is_first = found["difference"][0].as_f64().is_some_and(|gap| gap > 0.0);
    let better = if is_first { &found["first"] } else { &found["second"] };
    let better = if found["verdict"] == "better" { better } else { &Value::Null };
    assert_eq!(&found["better"], better, "{found}");
    if found["verdict"] == "confounded" {
        let (differs, said) = (list(found, "differs"), text(found, "reason"));
        assert!(differs.len() > 1, "{found}");
        for name in differs {
            assert!(
                said.contains(&propagule_present::kind::detail(name.as_str().expect("a name"))),
                "{name} in {said}"
            );
        }
    }
    for wanted in wanted["within"].as_array().into_iter().flatten() {
        let is_it = |within: &&Value| {
            [text(wanted, "stratum"), word(text(wanted, "stratum"))].contains(&text(within, "stratum"))
        };
        let within = list(found, "within").iter().find(is_it).expect("the level is there");
        odds(&within["odds_ratio"], &wanted["odds_ratio"]);
    }
}

fn numbers(found: &Value, wanted: &Value) {
    for (key, name, tolerance) in [
        ("p_exact", "p_exact", FINE),
        ("phi_hat", "phi_hat", FINE),
        ("phi", "phi", FINE),
        ("df", "df", 0.0),
        ("t", "t", FINE),
        ("p_pots", "p_pots", FINE),
        ("p", "p", FINE),
        ("holm", "p_holm", FINE),
        ("fisher", "fisher_on_totals", FINE),
        ("fisher_pooled_over_blocks", "fisher_on_totals", FINE),
        ("boschloo", "boschloo", FINE),
    ] {
        if let Some(wanted) = wanted.get(key) {
            close(key, &found[name], wanted, tolerance);
        }
    }
    if let Some(wanted) = wanted.get("difference") {
        close_all("difference", &found["difference"], wanted, FINE);
    }
    if let Some(wanted) = wanted.get("odds_ratio_if_independent") {
        odds(&found["odds_ratio"], wanted);
    }
    if let Some(wanted) = wanted.get("design") {
        assert_eq!(&found["design"], wanted, "design");
    }
    if let Some(wanted) = wanted.get("totals") {
        assert_eq!(&found["totals"], wanted, "totals");
    }
    if wanted["strata"].is_array() {
        assert_eq!(sorted(&found["strata"]), sorted(&wanted["strata"]), "strata");
    }
}

/// Strata in whatever order.
pub(crate) fn sorted(strata: &Value) -> Vec<Vec<u64>> {
    let row = |row: &Value| row.as_array().expect("a row").iter().map(whole).collect();
    let mut all: Vec<Vec<u64>> = strata.as_array().expect("strata").iter().map(row).collect();
    all.sort();
    all
}

fn odds(found: &Value, wanted: &Value) {
    for (found, wanted) in found.as_array().expect("three").iter().zip(wanted.as_array().expect("three")) {
        close("odds ratio", found, wanted, OF_ODDS * wanted.as_f64().unwrap_or(1.0).max(1.0));
    }
}

/// The words of the schema for what a case calls a level.
fn word(level: &str) -> &str {
    if level == "dip" { DIP } else { level }
}

fn pot(row: &Value) -> Pot {
    Pot::new(whole(&row[0]), whole(&row[1]))
}

fn pots(rows: &Value) -> Vec<Pot> {
    rows.as_array().expect("pots").iter().map(pot).collect()
}

/// The two sides of strata: a pot of each in each.
pub(crate) fn sides(strata: &Value) -> [Vec<Pot>; 2] {
    let side = |k: usize| {
        let rows = strata.as_array().expect("strata").iter();
        rows.map(|row| Pot::new(whole(&row[2 * k]), whole(&row[2 * k + 1]))).collect()
    };
    [side(0), side(1)]
}

fn two_arms(case: &Value, code: &str) -> Laid {
    if case["pots"].is_array() {
        return Laid::pair(code, Layout::Apart, pots(&case["pots"][0]), pots(&case["pots"][1]));
    }
    let [first, second] = sides(&case["strata"]);
    let layout = match text(case, "design") {
        "blocks" => Layout::Blocks,
        "pieces" => Layout::Shared,
        "pots" => {
            let same = |pots: &[Pot]| evenly(pots[0].rooted, pots[0].started);
            return Laid::pair(code, Layout::Apart, same(&first), same(&second));
        }
        _ => Layout::Apart,
    };
    Laid::pair(code, layout, first, second)
}

/// Two or more pots of one size, for a case that does not say how its pieces stood in them.
fn evenly(rooted: u64, started: u64) -> Vec<Pot> {
    let pots = (2..=started).find(|pots| started.is_multiple_of(*pots)).expect("two pieces");
    (0..pots).map(|at| Pot::new((rooted + at) / pots, started / pots)).collect()
}

/// Doses against none, or all of them against each other: then none is none.
fn doses(case: &Value, code: &str, has_control: bool) -> Laid {
    let control = text(&case["family_control"][0], "second");
    let arm = |(at, (label, arm)): (usize, (&String, &Value))| {
        let auxin = match label.as_str() {
            label if label == control && has_control => NONE.to_owned(),
            _ => format!("IBA quick dip {} mg/L", 1000 * (at + 1)),
        };
        Arm { label: label.clone(), facets: format!("auxin={auxin}"), pots: pots(&arm["pots"]) }
    };
    let arms = case["arms"].as_object().expect("arms").iter().enumerate().map(arm);
    let mut laid = Laid::new(code, Layout::Apart, arms.collect());
    laid.control = has_control.then(|| control.to_owned());
    laid
}

/// Cells named by a level of each factor, in the order in which the effects name their levels.
fn crossed(case: &Value, code: &str, effects: &[Value]) -> Laid {
    let is_of = |effect: &Value, level: &str| effect["first"] == level || effect["second"] == level;
    let mut cells: Vec<(Vec<bool>, Arm)> = Vec::new();
    for (label, cell) in case["cells"].as_object().expect("cells") {
        let levels = label.split(" / ").map(|level| {
            let effect = effects.iter().find(|effect| is_of(effect, level)).expect("a factor has the level");
            (effect["second"] == level, format!("{}={}", text(effect, "factor"), word(level)))
        });
        let (order, facets): (Vec<bool>, Vec<String>) = levels.unzip();
        let arm = Arm { label: label.clone(), facets: facets.join("; "), pots: pots(&cell["pots"]) };
        cells.push((order, arm));
    }
    cells.sort_by(|(a, _), (b, _)| a.cmp(b));
    Laid::new(code, Layout::Apart, cells.into_iter().map(|(_, arm)| arm).collect())
}

/// Grafts by several people: `R / whip` where each made both kinds, `R whip` where each made one.
fn by_people(case: &Value, code: &str) -> Laid {
    let mut arms: Vec<Arm> = Vec::new();
    for (cell, counted) in case["cells"].as_object().expect("cells") {
        let (who, form) = cell.split_once(" / ").or_else(|| cell.split_once(' ')).expect("who and what");
        let made = Pot { done_by: Some(who.to_owned()), ..pot(counted) };
        if let Some(arm) = arms.iter_mut().find(|arm| arm.label == form) {
            arm.pots.push(made);
            continue;
        }
        arms.push(Arm { label: form.to_owned(), facets: format!("form={form}"), pots: vec![made] });
    }
    let is_second = |arm: &Arm| case["second"] == arm.label.as_str();
    arms.sort_by_key(is_second);
    Laid { kind: "graft", ..Laid::new(code, Layout::Apart, arms) }
}

/// Whole pots lost; the case gives the sums, the size of a pot and how much pots differ in either reading.
fn with_lost(case: &Value, code: &str) -> Laid {
    let (with, without) = (&case["lost_as_failures"], &case["lost_left_out"]);
    let pieces = with["mean_pot"].as_f64().expect("a size") as u64;
    let of = |reading: &Value, k: usize| whole(&reading["strata"][0][k]);
    let near =
        |found: f64, reading: &Value| (found - reading["phi_hat"].as_f64().expect("a spread")).abs() < 1e-5;
    let kept = [1, 3].map(|k| (of(without, k) / pieces) as usize);
    let lost = [1, 3].map(|k| ((of(with, k) - of(without, k)) / pieces) as usize);
    let both = |one: &[u64], other: &[u64]| {
        let more = |pots: &[u64], lost: usize| [pots, &vec![0; lost]].concat();
        let all = [more(one, lost[0]), more(other, lost[1])];
        let df = (all[0].len() + all[1].len() - 2) as f64;
        near((pearson(&all[0], pieces) + pearson(&all[1], pieces)) / df, with)
    };
    let sums = [of(with, 0), of(with, 2)];
    let found = split(sums, kept, pieces, |found| near(found, without), both).expect("such pots");
    let arm = |k: usize| -> Vec<Pot> {
        let gone = Pot { lost: pieces, ..Pot::new(0, pieces) };
        let kept = found[k].iter().map(|rooted| Pot::new(*rooted, pieces));
        kept.chain(std::iter::repeat_n(gone, lost[k])).collect()
    };
    Laid::pair(code, Layout::Apart, arm(0), arm(1))
}
