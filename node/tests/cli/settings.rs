//! Words, units, days and country: taken from the system once, changed by a word, and kept at home.

use serde_json::json;

use crate::home::{TestHome, ran};

/// The settings of a home as data, without what is about publishing.
fn chosen(home: &TestHome) -> serde_json::Value {
    let all = home.json(&["settings"]);
    json!([all["dialect"], all["units"], all["date_order"], all["country"]])
}

/// A home made on a system of that language, with what was said.
fn made(language: &str) -> (TestHome, String) {
    let home = TestHome::bare();
    let output = home.command(&["init", "--network", "test"]).env("LC_ALL", language).output();
    (home, ran(&output.expect("starts")).out)
}

#[test]
fn a_new_home_reads_as_its_system_does_and_says_so_once() {
    for (language, said, all) in [
        ("en_US.UTF-8", "the United States", json!(["us", "us", "month_first", "US"])),
        ("en_NZ.UTF-8", "Australia and New Zealand", json!(["au", "metric", "day_first", "NZ"])),
        ("de_AT.UTF-8", "the United Kingdom", json!(["uk", "metric", "day_first", "AT"])),
    ] {
        let (home, text) = made(language);
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(said) && text.contains("propagule settings dialect"), "{language}: {text}");
        assert_eq!(chosen(&home), all, "it stays whatever the system says later");
        let again = home.command(&["init"]).env("LC_ALL", language).output().expect("starts");
        assert!(!ran(&again).out.contains("dialect"), "said once");
    }
}

#[test]
fn each_setting_is_changed_alone_and_shown_with_the_others() {
    let (home, _) = made("en_GB.UTF-8");
    assert!(home.ok(&["settings", "units", "us"]).contains("inches"));
    assert_eq!(chosen(&home), json!(["uk", "us", "day_first", "GB"]));
    home.ok(&["settings", "dialect", "au"]);
    home.ok(&["settings", "country", "nz"]);
    home.ok(&["settings", "date-order", "month-first"]);
    assert_eq!(chosen(&home), json!(["au", "us", "month_first", "NZ"]));
    home.ok(&["settings", "announce", "on"]);
    let text = home.ok(&["settings"]);
    for words in
        ["dialect", "au", "Australia", "NZ", "Jun 5, 2026", "announce", "publishing", "not chosen", "clock"]
    {
        assert!(text.contains(words), "{words} in {text}");
    }
    assert!(home.fails(2, &["settings", "country", "New Zealand"]).contains("is not a country code"));
    assert!(home.fails(2, &["settings", "dialect", "scots"]).contains("scots"));
    let again = TestHome::bare();
    home.ok(&["export", &again.path().with_extension("zip").display().to_string()]);
    again.ok(&["restore", &again.path().with_extension("zip").display().to_string()]);
    assert_eq!(chosen(&again), chosen(&home), "they go with an archive");
}

#[test]
fn a_day_of_two_readings_is_asked_with_the_reader_s_own_first() {
    let (home, _) = made("C");
    home.ok(&["trial", "new", "N1", "Ribes nigrum", "-n", "30"]);
    let asked = || home.fails(1, &["stick", "N1", "--on", "5/6/2026"]);
    let uk = asked();
    assert!(uk.contains("2026-06-05 (day first) or 2026-05-06 (month first)"), "{uk}");
    assert!(uk.contains("--date-order day-first or --date-order month-first"), "{uk}");
    home.ok(&["settings", "dialect", "us"]);
    let us = asked();
    assert!(us.contains("2026-05-06 (month first) or 2026-06-05 (day first)"), "{us}");
    assert!(us.contains("--date-order month-first or --date-order day-first"), "{us}");
    home.ok(&["stick", "N1", "--on", "5/6/2026", "--date-order", "day-first"]);
}

/// What a grower with US settings reads has no day, temperature or strength in another's style; JSON stays ISO and metric.
#[test]
fn us_settings_leave_no_metric_amount_and_no_iso_day_on_the_screens() {
    let (home, _) = made("en_US.UTF-8");
    for line in [
        "propagule site --zone 8b --hemisphere north",
        "propagule bench 'mist house' --about 'structure=hoop house; heat=72 F'",
        "propagule trial new M2 'Morus nigra' -m 'kind=stem cutting; wood=softwood; heat=72 F' \
         -t 'dip: hormone=IBA 3000 ppm, 5 s' -t 'none: hormone=none' --pots 3 --per-pot 4",
        "propagule stick M2 --on 2026-06-06 --bench 'mist house'",
        "propagule log 'mist house' --heat 72F --on 2026-06-07",
        "propagule check M2 --on 2026-07-20 P5:lost=4,cause=tipped",
        "propagule lift M2 --on 2026-08-29 P1:rooted=4,longest-root=40 P2:rooted=3,dead=1 P3:rooted=2,green=2",
    ] {
        let ran = home.shell(line);
        assert_eq!(ran.code, 0, "{line}: {}", ran.err);
        reads_as_in_the_us(line, &ran.out);
    }
    for words in [
        &["trial", "show", "M2"][..],
        &["trial", "history", "M2"],
        &["trial", "list"],
        &["bench"],
        &["bench", "mist house"],
        &["site"],
        &["due"],
        &["due", "--as-of", "2026-09-20"],
        &["cautions"],
    ] {
        reads_as_in_the_us(&words.join(" "), &home.ok(words));
    }
    let shown = home.json(&["trial", "show", "M2"]).to_string();
    assert!(shown.contains("2026-06-06") && shown.contains("22 °C") && shown.contains("mg/L"), "{shown}");
}

fn reads_as_in_the_us(what: &str, text: &str) {
    for metric in ["°C", "mg/L", "mg/kg", " mm"] {
        assert!(!text.contains(metric), "{what}: {metric} in {text}");
    }
    let is_iso = |word: &str| {
        let mut parts = word.trim_matches(|c: char| !c.is_ascii_digit()).splitn(3, '-');
        let mut digits = |many: usize| {
            parts
                .next()
                .is_some_and(|part| part.len() == many && part.bytes().all(|digit| digit.is_ascii_digit()))
        };
        digits(4) && digits(2) && digits(2)
    };
    assert!(!text.split_whitespace().any(is_iso), "{what}: a day is as it is stored: {text}");
}
