//! The commands with their help, which stands in `present`.

use clap::{Command, CommandFactory};

use super::Cli;
use propagule_present::help;

/// All commands, as they are read, and as help, manual pages and completion scripts show them.
pub fn commands() -> Command {
    let root = helped(Cli::command(), "").about(help::WHAT_IT_IS);
    let listed = groups(&root);
    root.help_template(help::layout(&listed))
}

fn helped(mut command: Command, path: &str) -> Command {
    if let Some(help) = help::of(path) {
        command = command.about(help.first).long_about(help.long());
        if let Some(below) = help.below() {
            command = command.after_long_help(below);
        }
    }
    let ids: Vec<String> = command.get_arguments().map(|argument| argument.get_id().to_string()).collect();
    for id in ids {
        if let Some(words) = help::option(path, &id) {
            command = command.mut_arg(id, |argument| argument.help(words));
        }
    }
    let names: Vec<String> = command.get_subcommands().map(|below| below.get_name().to_owned()).collect();
    for name in names {
        let path = format!("{path} {name}").trim().to_owned();
        command = command.mut_subcommand(name, |below| helped(below, &path));
    }
    command
}

/// The commands under their headings, each with the first line of its help.
fn groups(root: &Command) -> String {
    let all = || help::GROUPS.iter().flat_map(|(_, names)| *names);
    let width = all().map(|name| name.len()).max().unwrap_or(0);
    let line = |name: &&str| {
        let about = root.find_subcommand(name).and_then(Command::get_about).map(ToString::to_string);
        format!("  {name:width$}  {}\n", about.unwrap_or_default())
    };
    let group = |(heading, names): &(&str, &[&str])| {
        format!("{heading}:\n{}\n", names.iter().map(line).collect::<String>())
    };
    help::GROUPS.iter().map(group).collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    /// Every command by its words, and the ids of its arguments and options.
    fn gather(command: &Command, path: &str, found: &mut Vec<(String, Vec<String>)>) {
        for below in command.get_subcommands().filter(|below| !below.is_hide_set()) {
            let path = format!("{path} {}", below.get_name()).trim().to_owned();
            let ids = below.get_arguments().map(|argument| argument.get_id().to_string()).collect();
            gather(below, &path, found);
            found.push((path, ids));
        }
    }

    #[test]
    fn help_has_a_row_for_every_command_and_option_and_no_other() {
        let mut found = Vec::new();
        gather(&Cli::command(), "", &mut found);
        let names: BTreeSet<&str> = found.iter().map(|(path, _)| path.as_str()).collect();
        let helped: Vec<&str> = help::all().map(|help| help.command).collect();
        assert_eq!(helped.iter().copied().collect::<BTreeSet<_>>(), names);
        assert_eq!(helped.len(), names.len(), "each once");
        for (path, ids) in &found {
            for id in ids {
                assert!(help::option(path, id).is_some(), "{path} {id} has no help");
            }
            for (id, _) in help::of(path).expect("it is there").options {
                assert!(ids.iter().any(|known| known == id), "{path} has no {id}");
            }
        }
    }

    #[test]
    fn every_command_stands_in_one_group_in_the_order_of_the_program() {
        let grouped: Vec<&str> = help::GROUPS.iter().flat_map(|(_, names)| *names).copied().collect();
        let root = Cli::command();
        let shown = root.get_subcommands().filter(|below| !below.is_hide_set()).map(Command::get_name);
        assert_eq!(shown.collect::<Vec<_>>(), grouped);
    }
}
