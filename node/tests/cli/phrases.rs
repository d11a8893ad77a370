//! A method in the words of growers: what is understood is said back in ours, what is open is asked.

use crate::home::TestHome;

const NEW: [&str; 6] = ["trial", "new", "M8", "Lumetta rosea", "--on", "2026-06-08"];

fn with<'a>(arms: &[&'a str]) -> Vec<&'a str> {
    let arms = arms.iter().flat_map(|arm| ["--arm", arm]);
    NEW.into_iter().chain(arms).collect()
}

#[test]
fn everyday_phrases_set_up_a_trial_and_are_said_back() {
    let home = TestHome::new();
    let said = home.ok(&with(&[
        "A: growing place=hoop house; container=72 cell; medium=50:50 peat/perlite; auxin=1% IBA + 0.5% NAA, 1:10, 5 s; pieces=12",
        "B: growing place=hoop house; container=9cm pots; medium=potting soil; auxin=nothing; leaves=2 half leaves; pieces=12",
    ]));
    for words in [
        "structure polytunnel",
        "container module tray",
        "72 cells a tray",
        "medium peat 50 + perlite 50",
        "rooting hormone IBA quick dip 910 mg/L + NAA quick dip 450 mg/L",
        "5 s in the hormone",
        "container pot",
        "container size 9 cm",
        "medium potting compost",
        "no rooting hormone",
        "leaves halved",
        "2 leaves kept",
    ] {
        assert!(said.split_whitespace().collect::<Vec<_>>().join(" ").contains(words), "{words} in {said}");
    }
    let shown = home.ok(&["trial", "show", "M8"]);
    assert!(shown.contains("72 cells a tray") && shown.contains("container size 9 cm"), "{shown}");
    let next = home.ok(&["trial", "copy", "M8", "M9", "--on", "2027-06-07"]);
    assert!(next.contains("72 cells a tray"), "{next}");
}

#[test]
fn a_phrase_that_is_open_is_asked_about_and_nothing_is_set_up() {
    let home = TestHome::new();
    for (arm, choices) in [
        ("A: medium=sand; pieces=12", "did you mean medium=sharp sand, medium=fine sand?"),
        ("A: medium=2 parts sand to 1 peat; pieces=12", "did you mean medium=sharp sand 67 + peat 33"),
        ("A: wood=heel cutting; pieces=12", "wood=softwood; form=heel"),
        ("A: humidity=hot box; pieces=12", "did you mean humidity=dome; bottom_heat=on?"),
        ("A: auxin=#3; pieces=12", "write the strength on the label"),
        ("A: auxin=liquid dip 1:10; pieces=12", "write the strength on the label"),
        ("A: growing place=shade cloth; pieces=12", "write light='40% shade'"),
        ("A: stock age=old; pieces=12", "write the age"),
    ] {
        let refused = home.run(&with(&[arm]));
        assert_eq!(refused.code, 1, "{arm}: {}", refused.out);
        assert!(refused.err.contains(choices), "{arm}: {}", refused.err);
    }
    assert!(!home.ok(&["trial", "list"]).contains("M8"));
}

/// What a treatment cannot have does not set it apart from one that has it.
#[test]
fn how_a_hormone_or_a_pot_was_used_is_no_difference_of_its_own() {
    let home = TestHome::new();
    let differs = |arms: [&str; 2]| {
        let said = home.ok(&[&with(&arms)[..], &["--dry-run"]].concat());
        said.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    for (arms, only) in [
        (["A: hormone=IBA 3000 ppm, 5 s; count=12", "B: hormone=none; count=12"], "rooting hormone only"),
        (
            ["A: hormone=IBA 3000 ppm, 5 s; count=12", "B: hormone=IBA 0.3% powder; count=12"],
            "rooting hormone only",
        ),
        (
            ["A: hormone=IBA 100 ppm, 5 s; count=12", "B: hormone=IBA 100 ppm, 12 h; count=12"],
            "rooting hormone only",
        ),
        (["A: container=72 cell; count=12", "B: container=9 cm pot; count=12"], "container only"),
        (
            ["A: hormone=IBA 100 ppm, 5 s; count=12", "B: hormone=IBA 100 ppm, 10 s; count=12"],
            "seconds in the hormone only",
        ),
        (
            ["A: container=9 cm pot; count=12", "B: container=7 cm pot; count=12"],
            "size of the container only",
        ),
    ] {
        let said = differs(arms);
        assert!(said.contains(&format!("A and B differ in {only}")), "{arms:?}: {said}");
    }
}

#[test]
fn a_table_is_heard_as_a_command_is() {
    let home = TestHome::new();
    let head = "trial,species,started,started_on,arm,kind,Structure,container,Mix,Hormone";
    let rows = "M8,Lumetta rosea,24,2026-06-08,A,stem cutting,hoop house,72 cell,2 parts sharp sand to 1 peat,\"1% IBA, 1:10, 5 s\"\n\
                M8,Lumetta rosea,24,2026-06-08,B,slip,greenhouse,9cm pots,potting soil,nothing\n";
    let table = home.write("said.csv", format!("{head}\n{rows}"));
    let asked = home.run(&["trial", "import", &table]);
    assert!(
        asked.out.contains("\"slip\": that can mean several things") && asked.err.contains("form=heel"),
        "{asked:?}"
    );
    let table = home.write("said.csv", format!("{head}\n{}", rows.replace("slip", "stem cutting")));
    let said = home.ok(&["trial", "import", &table, "--yes"]);
    assert!(said.contains("hoop house") && said.contains("tunnel"), "it says how it read that: {said}");
    let shown = home.ok(&["trial", "show", "M8"]).split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "polytunnel",
        "module tray",
        "72 cells a tray",
        "sharp sand 67 + peat 33",
        "910 mg/L",
        "5 s in the hormone",
        "9 cm",
    ] {
        assert!(shown.contains(words), "{words} in {shown}");
    }
}

#[test]
fn details_are_asked_for_by_the_names_that_growers_have_for_them() {
    let home = TestHome::with_trial();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    let by = |words: &[&str]| home.json(&[&["pool", "Morus nigra"], words].concat());
    assert_eq!(by(&["--where", "cover=humidity dome"]), by(&["--where", "humidity=dome"]));
    assert_eq!(
        by(&["--where", "wood=semi-hardwood"])["methods"],
        by(&["--where", "wood=semi-ripe"])["methods"]
    );
    assert_eq!(by(&["--by", "hormone,structure"]), by(&["--by", "auxin,growing_place"]));
}
