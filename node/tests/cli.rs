//! The commands as a person meets them: what they print, what they refuse, and with which exit code.

#[path = "cli/home.rs"]
mod home;
mod schema;

#[path = "cli/answers.rs"]
mod answers;
#[path = "cli/archive.rs"]
mod archive;
#[path = "cli/bad_homes.rs"]
mod bad_homes;
#[path = "cli/bad_tables.rs"]
mod bad_tables;
#[path = "cli/bundles.rs"]
mod bundles;
#[path = "cli/circle.rs"]
mod circle;
#[path = "cli/doctor.rs"]
mod doctor;
#[path = "cli/ended.rs"]
mod ended;
#[path = "cli/entry.rs"]
mod entry;
#[path = "cli/errors/mod.rs"]
mod errors;
#[path = "cli/facets.rs"]
mod facets;
#[path = "cli/hints.rs"]
mod hints;
#[path = "cli/keys/mod.rs"]
mod keys;
#[path = "cli/kinds.rs"]
mod kinds;
#[path = "cli/language.rs"]
mod language;
#[path = "cli/large.rs"]
mod large;
#[path = "cli/life.rs"]
mod life;
#[path = "cli/made.rs"]
mod made;
#[path = "cli/manual.rs"]
mod manual;
#[path = "cli/mistyped.rs"]
mod mistyped;
#[path = "cli/odd_homes.rs"]
mod odd_homes;
#[path = "cli/odd_tables.rs"]
mod odd_tables;
#[path = "cli/output.rs"]
mod output;
#[path = "cli/parallel.rs"]
mod parallel;
#[path = "cli/peers.rs"]
mod peers;
#[path = "cli/phrases.rs"]
mod phrases;
#[path = "cli/plan.rs"]
mod plan;
#[path = "cli/plants.rs"]
mod plants;
#[path = "cli/printed.rs"]
mod printed;
#[path = "cli/readme.rs"]
mod readme;
#[path = "cli/replayed.rs"]
mod replayed;
#[path = "cli/season.rs"]
mod season;
#[path = "cli/serving.rs"]
mod serving;
#[path = "cli/settings.rs"]
mod settings;
#[path = "cli/shapes/mod.rs"]
mod shapes;
#[path = "cli/silence.rs"]
mod silence;
#[path = "cli/stores.rs"]
mod stores;
#[path = "cli/stories/mod.rs"]
mod stories;
#[path = "cli/trial_tables.rs"]
mod trial_tables;
#[path = "cli/undo.rs"]
mod undo;
#[path = "cli/words.rs"]
mod words;
#[path = "cli/workbooks.rs"]
mod workbooks;
#[path = "cli/worked.rs"]
mod worked;
