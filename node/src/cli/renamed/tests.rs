//! Every old name is read as the new one that it has.

use super::{COMMANDS, KEPT, OPTIONS, SHAPES, VALUES, in_new_words};
use crate::cli::{commands, parsed};
use propagule_present::help;

fn words(line: &str) -> Vec<String> {
    line.split(' ').map(str::to_owned).collect()
}

/// A line in new words, with what is said of its old names.
fn read(line: &str) -> (String, Vec<String>) {
    let (words, renamed) = in_new_words(words(line));
    (words.join(" "), renamed.into_iter().map(|(old, new)| format!("{old} > {new}")).collect())
}

#[test]
fn every_old_command_is_its_new_one_and_says_so() {
    for (old, new) in COMMANDS {
        let at_home = ["--json", "--home x"];
        for before in at_home {
            let said = vec![format!("{old} > {new}")];
            assert_eq!(read(&format!("{before} {old} A B")), (format!("{before} {new} A B"), said), "{old}");
        }
        assert!(help::of(new).is_some(), "{new} is a command");
        assert_eq!(read(&format!("{new} A")).1, Vec::<String>::new(), "{new} is new");
    }
}

#[test]
fn every_old_option_is_its_new_one_of_its_commands_and_no_others() {
    for renamed in OPTIONS {
        let everywhere: &[&str] = &["note"];
        for command in if renamed.of.is_empty() { everywhere } else { renamed.of } {
            let line = |option: &str| format!("{command} A {option} v {option}=w").trim().to_owned();
            let (now, said) = read(&line(renamed.old));
            if renamed.new.is_empty() {
                assert!(!now.contains(renamed.old) && said.is_empty(), "{now}");
                continue;
            }
            assert_eq!((now, said), (line(renamed.new), vec![format!("{} > {}", renamed.old, renamed.new)]));
            let mut below = commands();
            for word in command.split(' ') {
                below = below.find_subcommand(word).expect("a command").clone();
            }
            let has = |name: &str| below.get_arguments().any(|arg| arg.get_long() == Some(&name[2..]));
            assert!(has(renamed.new) && !has(renamed.old), "{command} {}", renamed.new);
        }
    }
    assert_eq!(read("export A --at v").0, "export A --at v");
    assert_eq!(read("note A -- --file").0, "note A -- --file", "what follows is no option");
    assert_eq!(read("strike A --spot x").0, "strike A --bench x", "by any name of the command");
}

#[test]
fn every_old_word_of_an_option_is_its_new_one() {
    for value in VALUES {
        let line = |word: &str| format!("final A {} {word} {}={word}", value.option, value.option);
        assert_eq!(read(&line(value.old)).0, line(value.new));
    }
}

#[test]
fn pieces_are_counted_by_pot_where_there_are_pots() {
    let of = |line: &str| read(&format!("trial new M1 X {line}")).0.replace("trial new M1 X ", "");
    assert_eq!(of("--pieces 30"), "--count 30");
    assert_eq!(of("--pieces 4 --pots 3"), "--per-pot 4 --pots 3");
    assert_eq!(of("--shared-pots 16x3 --pieces=4"), "--shared-pots 16x3 --per-pot=4");
    let (now, _) = in_new_words(vec![
        "trial".into(),
        "new".into(),
        "--arm".into(),
        "A: pots = 3".into(),
        "--pieces".into(),
    ]);
    assert_eq!(now[2..], ["--treatment", "A: pots = 3", "--per-pot"]);
}

#[test]
fn old_lines_of_another_shape_are_put_into_the_new_one() {
    for (old, new) in [
        ("trial correct M1 --entry 7 P6:rooted=3 --on 2026-08-29", "fix M1 7 P6:rooted=3 --on 2026-08-29"),
        ("trial correct --entry=7 M1 P6:rooted=3", "fix M1 7 P6:rooted=3"),
        ("--json trial correct M1 --entry 9 --take-back", "--json undo M1 9"),
        ("trial correct M1 --started-on 2026-06-06", "trial edit M1 --started-on 2026-06-06"),
        ("fix M1 9 --take-back", "undo M1 9"),
        ("care house --take-back 12", "undo house 12"),
        ("care --take-back 12 house", "undo house 12"),
        ("check --take-back 12-51", "undo --checks 12-51"),
        ("move M1 P1 --sold 3 --on 2027-03-20", "sell M1 P1=3 --on 2027-03-20"),
        ("move M1 --on 2027-03-20 P1 --given=3", "give M1 --on 2027-03-20 P1=3"),
        ("move N1 --planted-out 15 --below-grade", "plant-out N1 --unfinished 15"),
        ("move M1 A --to frame --with cover=none", "move M1 A --bench frame --method cover=none"),
        ("trial caution heat --hide", "cautions hide heat"),
        ("check --spot house ok --json", "check --bench house ok --json"),
        ("check --bench ok", "check --bench ok"),
    ] {
        let (now, _) = read(old);
        assert_eq!(now, new);
        let line = ["propagule".to_owned()].into_iter().chain(words(&now));
        parsed(line).unwrap_or_else(|e| panic!("{now}: {e}"));
    }
    for (old, new) in SHAPES.iter().chain(KEPT) {
        let said =
            read(&old.replace("CODE", "M1").replace("WHERE", "P1").replace("N-M", "1-2").replace(" N", " 3"))
                .1;
        let command = new.split(' ').next().expect("a word");
        assert_eq!(said.len(), 1, "{old}");
        assert!(said[0].contains(&format!("> {command}")), "{old}: {said:?}");
    }
}
