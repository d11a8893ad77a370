//! A grower who types everything wrong: units, signs, days, plants, counts. Each answer names what is wrong and where, and how
//! to mend it; nothing is saved by it.

use crate::home::TestHome;

/// When all of this is typed.
const NOW: &str = "2026-11-26T12:00:00Z";

/// What is typed, and what the answer has to say: what is wrong, and how it is mended.
type Slip = (&'static [&'static str], &'static [&'static str]);

/// A place, a bench and its log with units and signs that cannot be.
const UNITS: &[Slip] = &[
    (&["site", "--zone", "8c", "--hemisphere", "north"], &["8c", "a or b", "8b", "'8 C'"]),
    (&["site", "--zone", "-9", "--hemisphere", "north"], &["-9 F is zone 6a, -9 C is zone 8b", "'-9 F'"]),
    (
        &["site", "--zone", "-90 F", "--hemisphere", "north"],
        &["-90 F", "no winter is that cold", "sign and the unit"],
    ),
    (&["site", "--zone", "8b", "--hemisphere", "nort"], &["nort", "did you mean north?"]),
    (
        &[
            "site",
            "--hemisphere",
            "north",
            "--temperature",
            "41,43,46,50,57,62,66,66,60,54,46,42",
            "--rain",
            "3,3,2,2,2,2,2,2,2,3,3,3",
        ],
        &["temperature 46", "-60 to 45", "75F or 3in"],
    ),
    (
        &[
            "site",
            "--hemisphere",
            "north",
            "--temperature",
            "5,5,7,9,13,16,18,18,15,12,8,5",
            "--rain",
            "80,-60,60,50,55,55,50,60,60,80,85,85",
        ],
        &["rain -60", "from 0 to 4000", "rain is in mm"],
    ),
    (&["bench", "b1", "--about", "heat=72"], &["bench: \"heat=72\"", "-5 to 40 °C", "did you mean 72 °F?"]),
    (&["bench", "b1", "--about", "heat=22 K"], &["heat=22 K", "unknown unit `K`", "°C or °F"]),
    (
        &["log", "mist house", "--mist", "8 min every 4 s 07:00-20:00"],
        &["480 s", "0.5 to 120 s", "'8 s every 4 min 07:00-20:00'"],
    ),
    (
        &["log", "mist house", "--mist", "8 s every 4 min 20:00-07:00"],
        &["20:00-07:00", "hours of the day", "07:00-20:00"],
    ),
    (&["log", "mist house", "--shade", "40%"], &["40%", "blocked, or let through?", "60 % let through"]),
    (
        &["log", "mist house", "--heat", "22 C", "--until", "2026-06-01", "--on", "2026-07-01"],
        &["2026-06-01", "before it begins", "--until"],
    ),
];

/// Details of a method.
const DETAILS: &[(&str, &[&str])] = &[
    ("hormone=IBA 3000", &["hormone=IBA 3000", "needs a unit", "3000 mg/L"]),
    ("hormone=IBA 0.3", &["hormone=IBA 0.3", "needs a unit", "did you mean 0.3 %"]),
    ("hormone=IBE 3000 ppm", &["`ibe`", "did you mean IBA"]),
    ("hormone=3000 ppm", &["hormone=3000 ppm", "none is named", "IBA"]),
    ("hormone=IBA 3000 ppm, 5 h dip", &["were they dipped, or did they soak?", "IBA quick dip"]),
    ("hormone=0.8% IBA powder 1:10", &["a powder is not thinned"]),
    ("kind=stem cuting", &["stem cuting", "did you mean stem cutting?"]),
    ("wood=semiripe", &["wood=semiripe", "did you mean semi-ripe?"]),
    ("colour=red", &["colour", "not a detail"]),
    ("wood softwood", &["wood softwood", "`=`", "wood=softwood"]),
    ("medium=pearlite", &["did you mean perlite?"]),
    ("medium=peat 60 + perlite 60", &["120 %", "not 100"]),
    ("structure=poly tunel", &["structure=poly tunel", "did you mean"]),
    ("leaves=3", &["several things", "leaves=whole"]),
    ("age=-3 years", &["age=-3 years", "0 to 1000 years"]),
    ("light=60", &["light=60", "blocked, or let through?", "60 % shade"]),
];

/// Plants, misspelt or half named.
const PLANTS: &[(&str, &[&str])] = &[
    ("Black Mulbery", &["Black Mulbery", "did you mean Morus nigra"]),
    ("M. nigra", &["`M.` is not a genus", "such as Morus nigra"]),
    ("nigra", &["is not a genus", "such as Morus nigra"]),
    ("Morus", &["a genus alone", "Morus sp."]),
    ("mulberry", &["a common name: which one?", "Morus alba", "Morus nigra"]),
    ("Morus nigra Black Beauty", &["dropped: Black Beauty", "in quotes"]),
    ("Morus nigra 'Black Beauty", &["quote of the cultivar is not closed"]),
    ("", &["it is empty", "such as Morus nigra"]),
];

/// Days.
const DATES: &[(&str, &[&str])] = &[
    ("5/6", &["6 May", "5 June", "of which year?", "--date-order day-first"]),
    ("5/6/26", &["2026-05-06", "2026-06-05", "--date-order"]),
    ("31/6/2026", &["there is no 31 June 2026", "--on 2026-06-05"]),
    ("2026-13-01", &["there is no month 13"]),
    ("june 5th", &["5 June of which year?", "--year 2026"]),
    ("2062-06-05", &["2062-06-05", "2026-06-05"]),
    ("soon", &["`soon` is no date", "2026-06-05"]),
];

/// Counts of a trial of six pots with four cuttings each.
const CELLS: &[Slip] = &[
    (&["check", "M2", "P1:rooted=5"], &["P1: 5 rooted, but only 4 alive", "4 started"]),
    (&["check", "M2", "P1", "rooted=4"], &["which pot or treatment", "P1, P2"]),
    (&["check", "M2", "P1:rooted=four"], &["four", "not a whole number"]),
    (&["check", "M2", "P1:roted=4"], &["roted", "did you mean rooted?"]),
    (&["check", "M2", "P7:rooted=1"], &["P7", "no such pot", "P1, P2"]),
    (&["check", "M2", "P1:rooted=-1"], &["-1", "not a whole number"]),
    (&["check", "M2", "P1:dead=3,lost=3"], &["3 dead + 3 lost", "= 6, but 4 were left"]),
    (&["check", "M2", "4", "4", "4"], &["6 pots", "3 numbers came", "`.` for one that was not checked"]),
    (&["check", "M2", "P1:rooted=50%"], &["50%", "give a count, not a percentage"]),
    (&["check", "M2", "P1:rooted=4", "P1:rooted=3"], &["P1 is counted twice", "in one go"]),
    (&["check", "M2", "dip:rooted=4"], &["counted pot by pot", "P1, P2, P3"]),
    (
        &["lift", "M2", "P1:rooted=4", "--on", "2026-06-01"],
        &["before trial \"M2\" was started", "2026-06-06"],
    ),
    (&["sell", "M2", "6"], &["of which did 6 leave?", "propagule sell M2 P1=6"]),
    (&["sell", "M2", "dip"], &["does not end in a whole number", "propagule sell M2"]),
    (&["move", "M2", "dipp", "--bench", "mist house"], &["no treatment \"dipp\"", "dip, none"]),
    (&["fix", "M2", "99", "P1:rooted=1"], &["no entry 99", "trial history M2"]),
    (
        &["trial", "new", "M2", "Morus nigra", "-n", "5"],
        &["there is a trial \"M2\" already", "choose another code"],
    ),
    (&["trial", "new", "X", "Morus nigra", "-n", "5.5"], &["\"5.5\" is not a whole number", "such as 12"]),
    (
        &["trial", "new", "X", "Morus nigra", "-n", "dozen"],
        &["\"dozen\" is not a whole number", "use digits"],
    ),
    (&["trial", "new", "X", "Morus nigra", "--pots", "3"], &["how many are started?", "--per-pot 4"]),
    (
        &["trial", "new", "X", "Morus nigra", "-t", "hormone=none", "-n", "5"],
        &["label and a colon", "'A: hormone=none"],
    ),
    (&["plan", "Morus nigra", "--sure", "120%"], &["a chance lies between", "--sure 80%"]),
    (&["plan", "Morus nigra", "--sure", "8"], &["--sure 8%"]),
];

fn home() -> TestHome {
    let home = TestHome::new();
    home.at(NOW);
    home.ok(&["bench", "mist house", "--about", "structure=greenhouse"]);
    let arms =
        ["-t", "dip: hormone=IBA 3000 ppm", "-t", "none: hormone=none", "--pots", "3", "--per-pot", "4"];
    home.ok(&[
        &["trial", "new", "M2", "Morus nigra", "-m", "kind=stem cutting", "--on", "2026-06-06"][..],
        &arms,
    ]
    .concat());
    home.ok(&["stick", "M2", "--on", "2026-06-06"]);
    home
}

/// What the answer lacks of what it has to say.
fn lacking(home: &TestHome, typed: &[&str], says: &[&str]) -> Vec<String> {
    let ran = home.run(typed);
    let mut lacks = Vec::new();
    if ran.code == 0 || !ran.err.contains("\nhint: ") {
        lacks.push(format!("{typed:?} is taken, or gets no hint: {}{}", ran.out, ran.err));
    }
    lacks.extend(
        says.iter()
            .filter(|word| !ran.err.contains(**word))
            .map(|word| format!("{typed:?}: {word:?} in {}", ran.err)),
    );
    lacks
}

#[test]
fn every_slip_is_named_with_its_mend_and_nothing_is_saved() {
    let home = home();
    let before = home.json(&["trial", "history", "M2"]);
    let mut lacks = Vec::new();
    for (typed, says) in UNITS.iter().chain(CELLS) {
        lacks.extend(lacking(&home, typed, says));
    }
    for (detail, says) in DETAILS {
        let method = format!("A: {detail}");
        lacks.extend(lacking(&home, &["trial", "new", "X", "Morus nigra", "-t", &method, "-n", "5"], says));
    }
    for (plant, says) in PLANTS {
        lacks.extend(lacking(&home, &["trial", "new", "X", plant, "-n", "5"], says));
    }
    for (day, says) in DATES {
        lacks.extend(lacking(&home, &["note", "M2", "hello", "--on", day], says));
    }
    assert!(lacks.is_empty(), "{}", lacks.join("\n"));
    assert_eq!(home.json(&["trial", "history", "M2"]), before);
    assert_eq!(home.json(&["trial", "list"])["trials"].as_array().map(Vec::len), Some(1));
    assert_eq!(home.json(&["site"])["places"].as_array().map(Vec::len), Some(0));
}

/// What is meant beyond doubt is taken, and said back.
#[test]
fn a_name_with_what_it_is_behind_it_is_that_plant() {
    let home = home();
    for (typed, meant) in [("fig tree", "Ficus carica"), ("morus NIGRA", "Morus nigra")] {
        let said = home.ok(&["trial", "new", "X", typed, "-n", "5", "--dry-run"]);
        assert!(said.contains(meant), "{typed}: {said}");
    }
}

#[test]
fn a_trial_is_not_planned_for_a_day_of_the_last_century() {
    let home = TestHome::new();
    let new = |on: &str| home.run(&["trial", "new", "M1", "Morus nigra", "--count", "12", "--on", on]);
    let slip = new("1926-06-05");
    assert_eq!(slip.code, 1, "{}", slip.out);
    assert!(slip.err.contains("1926") && slip.err.contains("hint: "), "{}", slip.err);
    assert_eq!(home.json(&["trial", "list"])["trials"].as_array().map(Vec::len), Some(0));
    assert_eq!(new("2027-06-05").code, 0);
}
