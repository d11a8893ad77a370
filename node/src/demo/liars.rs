//! The step of the story that is on a switch: some growers lie or err, and what that moves.

use propagule_protocol::names::Synonyms;
use propagule_protocol::{AuthorKey, NetworkId, Signed, Taxon, state};
use serde_json::Value;

use super::cast::{Member, NETWORK};
use super::scenario::{self, BAD_ACTORS};
use super::stage::Stage;
use propagule_answer::pool::pool;
use propagule_answer::question::PoolQuestion;
use propagule_evidence::{Grouping, RecordOptions, Trust, Whose, from_set};
use propagule_files::fault::Fault;
use propagule_present::words::in_hundred;

/// Methods that the liars' claims are about: plant, filters, words.
const METHODS: [(&str, &[&str], &str); 2] = [
    ("Ribes nigrum", &["container=open bed"], "currants in an open bed"),
    ("Morus nigra", &["auxin=IBA quick dip 3000 mg/L", "wound=none"], "mulberries dipped at 3,000 mg/L"),
];

/// All pieces thrown together, and the average grower of our model.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Rates {
    raw: f64,
    ours: f64,
}

/// Tells who lies, and asks a node what it makes of that.
pub(super) async fn tell(stage: &mut Stage, member: &Member) -> Result<(), Fault> {
    stage.step("Some of these growers lie or err. What does that move?")?;
    for (who, what) in BAD_ACTORS {
        stage.say(&format!("{who} {what}"))?;
    }
    stage
        .say("Two more typed 70 °C and 71% of 20 cuttings. Both were asked about, and neither was saved.")?;
    let honest = honest_records()?;
    for (species, filters, words) in METHODS {
        let honest = of_records(&honest, species, filters)?;
        let all = of_node(member, species, filters).await?;
        stage.say(&format!(
            "{words}: of all cuttings together, {}% rooted with honest growers alone, {}% with the liars; the average \
             across growers is {}% and {}%",
            in_hundred(honest.raw),
            in_hundred(all.raw),
            in_hundred(honest.ours),
            in_hundred(all.ours)
        ))?;
    }
    stage.say(
        "One key counts as one grower, and weighs as much as 60 cuttings at most. Of a trial whose number stuck shrinks, the \
         larger number counts. A thousand keys would still win: that is why you choose growers to trust.",
    )?;
    let (species, filters, _) = METHODS[1];
    stage.command(member.home(), &words(species, filters))
}

fn honest_records() -> Result<Vec<Signed>, Fault> {
    let network = NetworkId::of(NETWORK);
    let mut records = Vec::new();
    for grower in scenario::growers(&scenario::Options::default()) {
        records.extend(
            grower.records(&network).map_err(|e| Fault::environment("demo-scenario-broken").because(e))?,
        );
    }
    Ok(records)
}

fn of_records(records: &[Signed], species: &str, filters: &[&str]) -> Result<Rates, Fault> {
    let resolved = state::resolve(records);
    let nobody = Trust::nobody(AuthorKey([0; 32])).circle();
    let taxon = Taxon::parse(species).map_err(|e| Fault::environment("demo-scenario-broken").because(e))?;
    let evidence =
        from_set(&resolved, &nobody, Whose::Everybody, &RecordOptions::new(taxon), &Synonyms::default());
    let filters: Vec<String> = filters.iter().map(|&filter| filter.to_owned()).collect();
    let grouping = Grouping::parse(Some("none"), &filters)?;
    let answer = pool(&evidence, &PoolQuestion { grouping, ..PoolQuestion::about(species) })?;
    let method = answer.methods.first().ok_or_else(|| Fault::usage("demo-method-missing"))?;
    let raw = f64::from(method.rooted) / f64::from(method.started);
    Ok(Rates { raw, ours: method.fit.average_grower_rate_mean })
}

fn words<'a>(species: &'a str, filters: &[&'a str]) -> Vec<&'a str> {
    let filters = filters.iter().flat_map(|filter| ["--where", filter]);
    ["pool", species, "--by", "none"].into_iter().chain(filters).collect()
}

async fn of_node(member: &Member, species: &str, filters: &[&str]) -> Result<Rates, Fault> {
    let mut words = words(species, filters);
    words.push("--json");
    let text = member.run(&words).await?;
    let answer: Value =
        serde_json::from_str(&text).map_err(|e| Fault::environment("demo-pool-without-json").because(e))?;
    let number = |name: &str| answer["methods"][0][name].as_f64().unwrap_or(f64::NAN);
    Ok(Rates { raw: number("rooted") / number("started"), ours: number("average_grower_rate_mean") })
}
