//! The same said by a form and by a command: both homes keep the same, whatever is in the texts.

use std::sync::Arc;

use axum::http::StatusCode;
use proptest::prelude::*;
use serde_json::Value;
use tokio::runtime::Runtime;

use crate::cli;
use crate::web::rooms::tests::Grower;
use propagule_app as app;
use propagule_app::{BenchRequest, Reply, Request};
use propagule_files::fault::Fault;

/// Two homes: one asked by forms, the other by commands.
struct Homes {
    runtime: Runtime,
    by_form: Grower,
    by_command: Grower,
}

impl Homes {
    fn new() -> Self {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
        Self { runtime, by_form: Grower::new(), by_command: Grower::new() }
    }

    /// Says the same to both; returns whether the form was taken, and whether the command was.
    fn say(&self, path: &str, fields: &[(&str, &str)], words: &[&str]) -> (bool, Result<(), Fault>) {
        let (status, said) = self.runtime.block_on(self.by_form.post(path, fields));
        let taken = status == StatusCode::SEE_OTHER;
        assert!(taken || status == StatusCode::UNPROCESSABLE_ENTITY, "{path}: {status} {said}");
        let words: Vec<String> = ["propagule"].iter().chain(words).map(|word| (*word).to_owned()).collect();
        let clock = self.by_command.stage.web.app.clock();
        let asked = cli::described(clock, &words).and_then(|request| self.ask(&self.by_command, request));
        (taken, asked.map(|_| ()))
    }

    fn ask(&self, grower: &Grower, request: BenchRequest) -> Result<Reply, Fault> {
        let request = Request::Bench(Box::new(request));
        self.runtime.block_on(app::handle(Arc::clone(&grower.stage.web.app), request))
    }

    /// All that a home keeps, without the names that are drawn by chance.
    fn kept(&self, grower: &Grower) -> Value {
        let export = self.ask(grower, BenchRequest::Export { table_only: false }).expect("it can be read");
        let Reply::Bench(bench) = export else { panic!("an export") };
        let mut json = propagule_present::outcome::export::json(&bench);
        without_chance(&mut json);
        json
    }

    fn are_alike(&self) -> Result<(), TestCaseError> {
        prop_assert_eq!(self.kept(&self.by_form), self.kept(&self.by_command));
        Ok(())
    }
}

fn without_chance(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            for name in ["series", "mark", "once"] {
                fields.remove(name);
            }
            fields.values_mut().for_each(without_chance);
        }
        Value::Array(items) => items.iter_mut().for_each(without_chance),
        _ => {}
    }
}

/// Both took it, or neither did; and both keep the same.
fn check(homes: &Homes, (form, command): (bool, Result<(), Fault>)) -> Result<(), TestCaseError> {
    prop_assert_eq!(form, command.is_ok(), "by command: {:?}", command);
    homes.are_alike()
}

/// A word in quotes, as a command line holds one that has a semicolon.
fn quoted(words: &str) -> String {
    format!("\"{}\"", words.replace('"', "\"\""))
}

/// Texts with all that parts something in what is typed, in forms or in JSON.
fn hostile() -> impl Strategy<Value = String> {
    let parts = prop::sample::select(vec![
        "1:1",
        " mix",
        "peat",
        "; ",
        ";wound=light",
        ":",
        "=",
        ",",
        "\"",
        "'",
        " ",
        "  ",
        "\n",
        "\r\n",
        "&",
        "%3B",
        "+",
        "<b>",
        "\\",
        "{",
        "}",
        "ß",
        "\u{202e}",
        "-",
        "--",
        "P1",
        "all",
        "none",
        "\t",
        "#",
        "@",
    ]);
    prop::collection::vec(parts, 0..7).prop_map(|parts| parts.concat())
}

/// Media that are some and words that are none.
fn media() -> impl Strategy<Value = String> {
    let known = prop::sample::select(vec![
        "peat 50 + perlite 50",
        "peat; wound=light",
        "peat; perlite",
        "1:1 peat:perlite",
        "peat, perlite",
        "peat=50",
        " bark ",
        "",
    ]);
    prop_oneof![3 => known.prop_map(str::to_owned), 1 => hostile()]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn a_trial_is_the_same_by_form_and_by_command(
        code in prop_oneof![3 => Just("M1".to_owned()), 1 => hostile()],
        labels in (hostile(), hostile()),
        medium in media(),
        note in hostile(),
        question in hostile(),
        grade in hostile(),
        other in hostile(),
    ) {
        let homes = Homes::new();
        // A blank label is made from what the treatment gets; by command it has to be said.
        let (first, second) = (format!("1:1 {}", labels.0), format!("b {}", labels.1));
        let fields = [
            ("code", code.as_str()), ("species", "Morus nigra"), ("kind", "stem cutting"),
            ("compared", "medium"), ("label-1", &first), ("medium-1", &medium),
            ("label-2", &second), ("medium-2", "bark"), ("pots", "2"), ("pieces", "5"), ("on", "2026-06-06"),
            ("note", &note), ("question", &question), ("grade", &grade), ("entered_for", &other),
        ];
        let arm = |label: &str, medium: &str| match medium.trim() {
            "" => format!("{label}:"),
            medium => format!("{label}: medium={}", quoted(medium)),
        };
        let mut words = vec![
            "trial".to_owned(), "new".to_owned(), "--with=kind=stem cutting".to_owned(), "--pots=2".to_owned(),
            "--pieces=5".to_owned(), "--on=2026-06-06".to_owned(), format!("--arm={}", arm(&first, &medium)),
            format!("--arm={}", arm(&second, "bark")), format!("--note={note}"),
            format!("--question={question}"), format!("--grade={grade}"),
        ];
        // An empty field says nothing; the option is left out then.
        words.extend((!other.trim().is_empty()).then(|| format!("--for={other}")));
        words.extend(["--".to_owned(), code.clone(), "Morus nigra".to_owned()]);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        check(&homes, homes.say("/bench/new", &fields, &words))?;
    }

    #[test]
    fn what_is_the_same_for_all_arms_is_the_same_by_form_and_by_command(medium in media(), note in hostile()) {
        let homes = Homes::new();
        let fields = [
            ("code", "N1"), ("species", "Ribes nigrum"), ("kind", "stem cutting"),
            ("medium", &medium), ("pieces", "30"), ("on", "2026-06-06"), ("note", &note),
        ];
        let with = match medium.trim() {
            "" => "--with=kind=stem cutting".to_owned(),
            medium => format!("--with=kind=stem cutting; medium={}", quoted(medium)),
        };
        let note = format!("--note={note}");
        let words = ["trial", "new", &with, "--pieces=30", "--on=2026-06-06", &note, "N1", "Ribes nigrum"];
        check(&homes, homes.say("/bench/new", &fields, &words))?;
        let (grade, rule) = (format!("--grade={medium}"), format!("--rooted-rule={medium}"));
        let fields = [("grade", medium.as_str()), ("rooted_rule", &medium), ("note", "mended")];
        let words = ["trial", "correct", "N1", &grade, &rule, "--note=mended"];
        check(&homes, homes.say("/bench/trial/N1/describe", &fields, &words))?;
    }

    #[test]
    fn spots_and_stock_plants_are_the_same_by_form_and_by_command(
        name in hostile(),
        words in hostile(),
        note in hostile(),
    ) {
        let homes = Homes::new();
        let facets = |facet: &str| match words.trim() {
            "" => String::new(),
            words => format!("{facet}={}", quoted(words)),
        };
        let option = format!("--with={}", facets("watering"));
        let fields = [("name", name.as_str()), ("watering", &words)];
        check(&homes, homes.say("/bench/spots", &fields, &["spot", &option, "--", &name]))?;
        let plain = format!("spot {}", name.replace(['\n', '\r', '\t'], " ").trim());
        let fields = [("name", plain.as_str()), ("watering", "kept moist")];
        check(&homes, homes.say("/bench/spots", &fields, &["spot", "--with=watering=kept moist", &plain]))?;
        let address = crate::web::link::spot(plain.trim(), "/care");
        let fields = [("kind", "feed"), ("words", words.as_str()), ("note", &note), ("on", "2026-06-06")];
        let (feed, note_said) = (format!("--feed={words}"), format!("--note={note}"));
        let care = ["care", &feed, &note_said, "--on=2026-06-06", plain.trim()];
        check(&homes, homes.say(&address, &fields, &care))?;
        let (note, age) = (format!("--note={note}"), format!("--with={}", facets("stock_age")));
        let fields = [("name", name.as_str()), ("stock_age", &words), ("note", &note["--note=".len()..])];
        check(&homes, homes.say("/bench/stock", &fields, &["stock", &age, &note, "--", &name]))?;
    }
}

#[test]
fn a_label_with_a_colon_and_a_medium_of_two_are_taken_by_the_form() {
    let homes = Homes::new();
    let fields = [
        ("code", "M1"),
        ("species", "Morus nigra"),
        ("kind", "stem cutting"),
        ("compared", "medium"),
        ("label-1", "1:1 mix"),
        ("medium_own-1", "peat 50 + perlite 50"),
        ("medium-2", "bark"),
        ("pieces", "12"),
        ("on", "2026-06-06"),
    ];
    let (with, first) = ("--with=kind=stem cutting", "--arm=1:1 mix: medium=peat 50 + perlite 50");
    let words = ["trial", "new", with, first, "--arm=bark: medium=bark", "--pieces=12", "--on=2026-06-06"];
    let words: Vec<&str> = words.into_iter().chain(["M1", "Morus nigra"]).collect();
    let (form, command) = homes.say("/bench/new", &fields, &words);
    assert!(form && command.is_ok(), "{form} {command:?}");
    let kept = homes.kept(&homes.by_form);
    assert_eq!(kept, homes.kept(&homes.by_command));
    assert_eq!(kept["trials"][0]["arms"][0]["label"], "1:1 mix");
    assert_eq!(kept["trials"][0]["arms"][0]["facets"]["medium"], "peat 50 + perlite 50");
}

#[test]
fn what_is_wrong_with_a_form_stands_at_its_field() {
    let homes = Homes::new();
    let base = [
        ("code", "M1"),
        ("species", "Morus nigra"),
        ("kind", "stem cutting"),
        ("compared", "auxin"),
        ("label-2", "A"),
        ("auxin-2", "none"),
        ("label-4", "B"),
        ("auxin-4", "IBA 3000 mg/L quick dip"),
        ("pots", "2"),
        ("pieces", "5"),
    ];
    let wrong = [
        ("code", "a:b", "code"),
        ("species", "Total", "species"),
        ("medium", "peat; wound=light", "medium"),
        ("medium_own", "peat; wound=light", "medium_own"),
        ("leaves", "sometimes", "leaves"),
        ("spot", "nowhere", "spot"),
        ("stock", "nobody", "stock"),
        ("auxin-4", "perhaps", "auxin-4"),
        ("strength-4", "much", "strength-4"),
        ("label-4", "a", "label-4"),
        ("label-4", "B=C", "label-4"),
        ("pots", "77", "pots"),
        ("pots-4", "77", "pots-4"),
        ("pieces", "", "pieces"),
        ("shared", "3", "shared"),
        ("parent", "nothing", "parent"),
    ];
    for (name, text, field) in wrong {
        let mut fields = base.to_vec();
        fields.retain(|(other, _)| *other != name);
        fields.push((name, text));
        let (status, said) = homes.runtime.block_on(homes.by_form.post("/bench/new", &fields));
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{name}: {said}");
        let id = format!("f-{}", field.replace('-', "_"));
        assert!(said.contains(&format!("id=\"{id}-wrong\"")), "{name} {text}: {said}");
    }
}
