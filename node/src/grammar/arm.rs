//! Treatments and details: `A: hormone=none; pots=3; per pot=4`. Words that hold a semicolon stand in double quotes.

use std::collections::BTreeMap;

use propagule_protocol::Facet;
use propagule_protocol::vocab::AtHome;

use super::bare;
use propagule_app::{ArmFacts, ArmGiven, Common, Hearing, facet_names, give_facet};
use propagule_bench::doing::Doing;
use propagule_bench::given::FacetsGiven;
use propagule_files::fault::Fault;

/// What is said of a treatment beside its method, by the keys it is typed with; the first is offered.
const KEYS: [(Key, &[&str]); 6] = [
    (Key::Pots, &["pots"]),
    (Key::Pieces, &["per_pot", "count", "pieces", "started"]),
    (Key::Stock, &["stock_plant", "stock"]),
    (
        Key::Operator,
        &["grafted_by", "stuck_by", "struck_by", "budded_by", "sown_by", "layered_by", "operator"],
    ),
    (Key::Spot, &["bench", "spot"]),
    (Key::Differs, &["else", "differs"]),
];

/// What a key beside the facets is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Key {
    Pots,
    Pieces,
    Stock,
    Operator,
    Spot,
    Differs,
}

impl Key {
    fn called(name: &str) -> Option<Self> {
        KEYS.iter().find(|(_, names)| names.contains(&name)).map(|(key, _)| *key)
    }
}

/// Reads `LABEL: key=value; key=value`. A label that holds a colon itself is followed by another one.
pub(crate) fn arm(hearing: Hearing, text: &str) -> Result<ArmGiven, Fault> {
    let (label, rest) = parted(text)
        .ok_or_else(|| Fault::user("arm-without-label").with("what", hearing.what).with("text", text))?;
    Ok(ArmGiven { label: label.trim().to_owned(), said: facts(hearing, rest)? })
}

/// Label and rest: the label ends at the last colon before the first `=`.
fn parted(text: &str) -> Option<(&str, &str)> {
    let head = text.split('=').next().unwrap_or_default();
    match head.rfind(':') {
        Some(at) => Some((&text[..at], &text[at + 1..])),
        None => (head.len() == text.len() && !text.trim().is_empty()).then_some((text, "")),
    }
}

/// Reads `key=value; key=value` of an arm.
pub(crate) fn facts(hearing: Hearing, text: &str) -> Result<ArmFacts, Fault> {
    let what = hearing.what;
    let mut facts = ArmFacts::default();
    for part in parts(text) {
        let (key, value) = pair(hearing, part)?;
        match (Key::called(&key), Facet::called(&key)) {
            (Some(Key::Pots), _) => facts.pots = Some(number(what, &value)?),
            (Some(Key::Pieces), _) => facts.pieces = Some(number(what, &value)?),
            (Some(Key::Stock), _) => facts.stock = Some(value),
            (Some(Key::Operator), _) => facts.operator = Some(value),
            (Some(Key::Spot), _) => facts.spot = Some(value),
            (Some(Key::Differs), _) => facts.differs = Some(value),
            (None, Some(facet)) => facts.hear(hearing, facet, &value)?,
            (None, None) => return Err(unknown(what, &key)),
        }
    }
    Ok(facts)
}

fn unknown(what: Doing, name: &str) -> Fault {
    let offered = KEYS.iter().flat_map(|(_, names)| *names).copied();
    let details = Facet::ALL
        .into_iter()
        .flat_map(|facet| [facet.name()].into_iter().chain(facet.also_called().iter().copied()));
    let near = propagule_files::closest(name, details.chain(offered), 3);
    Fault::user("arm-key-unknown").with("what", what).with("name", name).near(&near)
}

/// Reads `key=value; key=value` of a move: facets by name. What no facet holds is kept with the note.
pub(crate) fn moved(
    hearing: Hearing,
    text: &str,
    mut common: Common,
) -> Result<(BTreeMap<String, String>, Common), Fault> {
    let (mut given, mut at_home) = (FacetsGiven::default(), Vec::new());
    for part in parts(text) {
        let (key, value) = pair(hearing, part)?;
        let facet = Facet::called(&key).ok_or_else(|| unknown(hearing.what, &key))?;
        at_home.extend(give_facet(&mut given, hearing, facet, &value)?);
    }
    let kept = at_home.into_iter().map(|kept: AtHome| kept.text).chain(common.note.take());
    common.note = Some(kept.collect::<Vec<_>>().join("; ")).filter(|note| !note.is_empty());
    Ok((given.into(), common))
}

/// Reads `key=value; key=value` where facets alone are meant; `allowed` are those that can be given there.
pub(crate) fn facets(hearing: Hearing, text: &str, allowed: &[Facet]) -> Result<FacetsGiven, Fault> {
    let what = hearing.what;
    let mut given = FacetsGiven::default();
    for part in parts(text) {
        let (key, value) = pair(hearing, part).map_err(|_| no_facet(what, part, allowed))?;
        match Facet::called(&key) {
            // Of a spot or a stock plant no phrase says what no facet holds.
            Some(facet) => drop(give_facet(&mut given, hearing, facet, &value)?),
            None if Key::called(&key).is_some() => {
                return Err(Fault::user("facet-of-arm")
                    .with("what", what)
                    .with("with", text)
                    .with("names", facet_names(allowed)));
            }
            None => return Err(no_facet(what, if key.is_empty() { part } else { &key }, allowed)),
        }
    }
    Ok(given)
}

fn no_facet(what: Doing, named: &str, allowed: &[Facet]) -> Fault {
    Fault::user("facet-unknown").with("what", what).with("named", named).with("names", facet_names(allowed))
}

/// What stands between semicolons, trimmed; what is empty is passed over. A semicolon in quotes parts nothing.
fn parts(text: &str) -> impl Iterator<Item = &str> {
    let mut parts = Vec::new();
    let (mut start, mut is_quoted, mut before) = (0, false, ' ');
    for (at, sign) in text.char_indices() {
        match sign {
            // A quote opens behind the `=`, and again where it is doubled.
            '"' => is_quoted = !is_quoted && matches!(before, '=' | '"'),
            ';' if !is_quoted => {
                parts.push(&text[start..at]);
                start = at + 1;
            }
            _ => {}
        }
        if !sign.is_whitespace() {
            before = sign;
        }
    }
    parts.push(&text[start..]);
    // A quote that nothing closes is a sign like any other.
    let parts = if is_quoted { text.split(';').collect() } else { parts };
    parts.into_iter().map(str::trim).filter(|part| !part.is_empty())
}

/// `key=value`; words that only one detail understands need no key.
fn pair(hearing: Hearing, part: &str) -> Result<(String, String), Fault> {
    if let Some(pair) = split(part) {
        return Ok(pair);
    }
    let refused = Fault::user("arm-part-without-equals").with("what", hearing.what).with("text", part);
    Ok((bare::facet(hearing, part, refused)?.name().to_owned(), part.to_owned()))
}

/// `key=value`: the key in lower case with underscores for spaces and hyphens, the value without quotes around it.
fn split(part: &str) -> Option<(String, String)> {
    let (key, value) = part.split_once('=')?;
    Some((key.trim().to_lowercase().replace([' ', '-'], "_"), unquoted(value.trim())))
}

fn unquoted(value: &str) -> String {
    let inner = value.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
    match inner.filter(|inner| !inner.replace("\"\"", "").contains('"')) {
        Some(inner) => inner.replace("\"\"", "\""),
        None => value.to_owned(),
    }
}

fn number(what: Doing, text: &str) -> Result<u16, Fault> {
    text.parse()
        .ok()
        .filter(|n| *n <= 10_000)
        .ok_or_else(|| Fault::user("arm-number-malformed").with("what", what).with("text", text))
}

#[cfg(test)]
mod tests {
    use propagule_bench::locale::Dialect;

    use super::*;

    const SETTING_UP: Hearing = Hearing { what: Doing::SettingUp, dialect: Dialect::Uk };

    #[test]
    fn a_label_ends_at_the_last_colon_before_what_is_said_of_it() {
        let read = |text: &str| arm(SETTING_UP, text).map(|arm| (arm.label, arm.said));
        let medium = |words: &str| {
            let mut facts = ArmFacts::default();
            facts.hear(SETTING_UP, Facet::Medium, words).expect("a medium");
            facts
        };
        assert_eq!(
            read("1:1 mix: medium=peat 50 + perlite 50"),
            Ok(("1:1 mix".to_owned(), medium("peat 50 + perlite 50")))
        );
        assert_eq!(read("1:1 mix:"), Ok(("1:1 mix".to_owned(), ArmFacts::default())));
        assert_eq!(read("dip: IBA 3000 ppm, 5 s"), read("dip: hormone=IBA 3000 ppm, 5 s"));
        assert_eq!(read("A"), Ok(("A".to_owned(), ArmFacts::default())));
        assert_eq!(read("A: auxin").expect_err("nothing is said of auxin").code, "arm-part-without-equals");
        assert_eq!(read("auxin=none").expect_err("no label").code, "arm-without-label");
    }

    #[test]
    fn quotes_keep_a_semicolon_in_the_words() {
        let given =
            facts(SETTING_UP, r#"medium="peat; perlite"; differs="a ""b""; c"; pots=2"#).expect("readable");
        assert_eq!(given.facets.iter().collect::<Vec<_>>(), [(Facet::Medium, "peat + perlite")]);
        assert_eq!((given.differs.as_deref(), given.pots), (Some("a \"b\"; c"), Some(2)));
        let open = facts(SETTING_UP, "differs=\"a; pots=3").expect("a sign like any other");
        assert_eq!((open.differs.as_deref(), open.pots), (Some("\"a"), Some(3)));
        assert_eq!(facts(SETTING_UP, "differs=5\" pots; pots=3").expect("readable").pots, Some(3));
    }

    #[test]
    fn facets_alone_are_asked_for_by_name() {
        let allowed = [Facet::Watering, Facet::Light];
        let code = |text: &str| {
            facets(Hearing { what: Doing::Spot, ..SETTING_UP }, text, &allowed)
                .expect_err("refused")
                .code
                .to_string()
        };
        assert_eq!(code("pots=3"), "facet-of-arm");
        assert_eq!(code("kept in good order"), "facet-unknown");
        let spot = Hearing { what: Doing::Spot, ..SETTING_UP };
        assert_eq!(facets(spot, "kept moist", &allowed), facets(spot, "watering=kept moist", &allowed));
        assert_eq!(code("mood=good"), "facet-unknown");
        assert_eq!(code("watering=never at all"), "facet-words-unknown");
        let unknown = facts(SETTING_UP, "auxn=none").expect_err("a slip of the pen");
        assert_eq!(
            (unknown.code.as_ref(), unknown.near.first().map(String::as_str)),
            ("arm-key-unknown", Some("auxin"))
        );
    }

    #[test]
    fn the_choices_of_a_word_stand_in_the_order_of_the_reader_s_english() {
        let near = |dialect| {
            let hearing = Hearing { dialect, ..SETTING_UP };
            facts(hearing, "mix=compost").expect_err("which?").near.clone()
        };
        let (uk, us) = (near(Dialect::Uk), near(Dialect::Us));
        assert_eq!((uk[0].as_str(), uk.len()), ("medium=potting mix", 2));
        assert_eq!(us.iter().rev().collect::<Vec<_>>(), uk.iter().collect::<Vec<_>>());
    }
}
