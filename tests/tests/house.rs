//! The house's arrows: which crate may see which, and that no circle runs through the modules of a crate.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// What each crate may see of ours; an arrow that is not here is a fault of the house.
const ARROWS: &[(&str, &[&str])] = &[
    ("protocol", &[]),
    ("analysis", &[]),
    ("node/files", &["protocol"]),
    ("node/bench", &["analysis", "files", "protocol"]),
    ("node/evidence", &["analysis", "files", "protocol"]),
    ("node/network", &["files", "protocol"]),
    ("node/present", &["analysis", "answer", "app", "bench", "evidence", "files", "network", "protocol"]),
    ("node/answer", &["analysis", "bench", "evidence", "files", "protocol"]),
    ("node/app", &["analysis", "answer", "bench", "evidence", "files", "network", "protocol"]),
];

/// Circles that are still there, each of modules that know one another too well.
const CIRCLES: &[(&str, &[&str])] = &[];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the workspace").to_owned()
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// What a crate depends on of ours, without what only its tests do.
fn seen(folder: &str) -> BTreeSet<String> {
    let manifest = read(&root().join(folder).join("Cargo.toml"));
    let behind = manifest.split("\n[dependencies]\n").nth(1).expect("every crate depends on something");
    let part = behind.split("\n[").next().expect("a text has a first part");
    part.lines()
        .filter_map(|line| line.strip_prefix("propagule-")?.split('.').next())
        .map(str::to_owned)
        .collect()
}

#[test]
fn crates_see_what_they_may_and_nothing_else() {
    for (folder, may) in ARROWS {
        let may: BTreeSet<String> = may.iter().map(|name| (*name).to_owned()).collect();
        let seen = if folder.starts_with("node/") { seen(folder) } else { of_ours(folder) };
        let too_many: Vec<_> = seen.difference(&may).collect();
        assert!(too_many.is_empty(), "{folder} may not see {too_many:?}");
    }
    let all = read(&root().join("Cargo.toml"));
    for folder in fs::read_dir(root().join("node")).expect("lists").flatten() {
        if folder.path().join("Cargo.toml").exists() && folder.file_name() != "fuzz" {
            let name = format!("node/{}", folder.file_name().to_string_lossy());
            assert!(all.contains(&format!("\"{name}\"")), "{name} is no member of the workspace");
            assert!(ARROWS.iter().any(|(known, _)| *known == name), "{name} has no arrows here");
        }
    }
}

fn of_ours(folder: &str) -> BTreeSet<String> {
    let manifest = read(&root().join(folder).join("Cargo.toml"));
    let lines = manifest.lines().filter(|line| line.starts_with("propagule-"));
    lines.filter_map(|line| line.strip_prefix("propagule-")?.split('.').next()).map(str::to_owned).collect()
}

/// The sources of a crate that are built into it, tests left out.
fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    let mut tests = BTreeSet::new();
    let mut here = Vec::new();
    for entry in fs::read_dir(folder).expect("lists").flatten() {
        let path = entry.path();
        if path.extension().is_some_and(|ending| ending == "rs") {
            tests.extend(test_modules(&read(&path)));
        }
        here.push(path);
    }
    for path in here {
        let stem = path.file_stem().expect("a name").to_string_lossy().into_owned();
        if stem.ends_with("tests") || tests.contains(&stem) {
            continue;
        }
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            out.push(path);
        }
    }
}

/// Names of the modules that are only built for tests.
fn test_modules(text: &str) -> Vec<String> {
    let behind = text.split("#[cfg(test)]").skip(1);
    let name = |part: &str| {
        let declared = part.split_once("mod ")?.1.split(';').next()?;
        declared.chars().all(|c| c.is_ascii_lowercase() || c == '_').then(|| declared.to_owned())
    };
    behind.filter_map(name).collect()
}

/// The modules of the crate that a source names, by the first part of each path.
fn named(text: &str, is_first_level: bool) -> BTreeSet<String> {
    let code = text.split("#[cfg(test)]\nmod tests {").next().expect("a text has a first part");
    let lines = code.lines().filter(|line| !line.trim_start().starts_with("//"));
    let code = lines.collect::<Vec<_>>().join("\n");
    let mut starts = vec!["crate::"];
    if is_first_level {
        starts.push("super::");
    }
    let mut found = BTreeSet::new();
    for start in starts {
        for behind in code.split(start).skip(1) {
            let list =
                behind.strip_prefix('{').map_or(behind, |list| list.split("};").next().unwrap_or(list));
            let is_list = list.len() < behind.len();
            let words = list.split(|c: char| !(c.is_ascii_alphanumeric() || c == '_'));
            let words = words.filter(|word| !word.is_empty());
            found.extend(words.take(if is_list { usize::MAX } else { 1 }).map(str::to_owned));
        }
    }
    found
}

/// Which module of a crate names which.
fn graph(folder: &str) -> BTreeMap<String, BTreeSet<String>> {
    let source = root().join(folder).join("src");
    let mut files = Vec::new();
    sources(&source, &mut files);
    let mut graph: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for file in files {
        let inside = file.strip_prefix(&source).expect("it lies there");
        let parts: Vec<_> = inside.components().map(|part| part.as_os_str().to_string_lossy()).collect();
        let module = parts[0].trim_end_matches(".rs").to_owned();
        if matches!(module.as_str(), "lib" | "main" | "bin") {
            continue;
        }
        let is_first_level = parts.len() == 1 || (parts.len() == 2 && parts[1] == "mod.rs");
        graph.entry(module).or_default().extend(named(&read(&file), is_first_level));
    }
    let modules: BTreeSet<String> = graph.keys().cloned().collect();
    for (module, others) in &mut graph {
        others.retain(|other| modules.contains(other) && other != module);
    }
    graph
}

/// Everything that can be reached from a module.
fn reached<'a>(graph: &'a BTreeMap<String, BTreeSet<String>>, from: &'a str) -> BTreeSet<&'a str> {
    let mut reached = BTreeSet::new();
    let mut open = vec![from];
    while let Some(module) = open.pop() {
        for next in &graph[module] {
            if reached.insert(next.as_str()) {
                open.push(next);
            }
        }
    }
    reached
}

#[test]
fn no_circle_runs_through_the_modules_of_a_crate() {
    let mut wrong = Vec::new();
    for folder in ARROWS.iter().map(|(folder, _)| *folder).chain(["node"]) {
        let graph = graph(folder);
        assert!(graph.len() > 4, "{folder} is read");
        let mut circles: BTreeSet<Vec<&str>> = BTreeSet::new();
        for module in graph.keys() {
            let around = reached(&graph, module);
            let with = around.iter().filter(|other| reached(&graph, other).contains(module.as_str()));
            let circle: Vec<&str> = with.copied().collect();
            if circle.len() > 1 {
                circles.insert(circle);
            }
        }
        let known: BTreeSet<Vec<&str>> =
            CIRCLES.iter().filter(|(of, _)| *of == folder).map(|(_, circle)| circle.to_vec()).collect();
        for circle in circles.difference(&known) {
            for module in circle {
                let into = graph[*module].iter().filter(|other| circle.contains(&other.as_str()));
                wrong.push(format!("{folder}: {module} names {:?}", into.collect::<Vec<_>>()));
            }
        }
        wrong.extend(known.difference(&circles).map(|gone| format!("{folder}: {gone:?} is gone: strike it")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn nothing_but_files_asks_which_system_it_runs_on() {
    let asks = ["os::unix", "os::windows", "cfg(unix)", "cfg(windows)", "target_os", "rustix", "libc::"];
    let home = root().join("node/files/src/system");
    let mut wrong = Vec::new();
    for folder in ARROWS.iter().map(|(folder, _)| *folder).chain(["node"]) {
        let mut files = Vec::new();
        sources(&root().join(folder).join("src"), &mut files);
        for file in files.iter().filter(|file| !file.starts_with(&home)) {
            let text = read(file);
            let lines = text.lines().filter(|line| !line.trim_start().starts_with("//"));
            wrong.extend(
                lines
                    .filter(|line| asks.iter().any(|ask| line.contains(ask)))
                    .map(|line| format!("{}: {}", file.display(), line.trim())),
            );
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
